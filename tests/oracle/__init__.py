"""An exact-kernel oracle: what two placed solids share, and how far they are apart, from the B-rep alone.

It knows nothing of deskmodel's own solids, meshes or fit engine (only the pose is shared), so that its answers may
stand against theirs. No mesh decides anything here.
"""
