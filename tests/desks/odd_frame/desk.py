"""A frame of odd sizes, invented: nothing of it lies in the middle. x right, y back, z up; mm.

    331 +--------------- back ----------------+
        | left      |slat, flat|        right |
     27 +--------------- front ---------------+
        0                                    463
"""

from deskmodel import Desk, DowelJoint, Member


def desk() -> Desk:
    d = Desk("odd frame")

    def rail(name, length, x, y, along="x", section=(27, 71), z=0):
        return d.place(Member(name, section, length, "beech"), at=(x, y, z), along=along)

    front, back = rail("front", 463, 0, 0), rail("back", 463, 0, 304)
    left, right = rail("left", 277, 0, 27, "y"), rail("right", 277, 436, 27, "y")
    slat = rail("slat", 277, 181, 27, "y", (90, 24), 31)
    for upright in (left, right):
        for long in (front, back):
            d.join(DowelJoint(upright, long, "10x50", positions=(17, 48)))
    d.join(DowelJoint(slat, front, positions=(21, 56)), DowelJoint(slat, back, positions=(21, 56)))
    return d
