"""Every member and plate made anew from the papers that leave the house, and held against model.step.

Nothing here imports ``deskmodel``: the papers are read as a stranger reads them.
"""
