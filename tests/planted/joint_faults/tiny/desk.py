"""A frame with every kind of dowel joint, invented, to plant faults in. x right, y back, z up; mm.

      244 +------------------ back -------------------+
          |left           |cross                right |
      133 |------ a ------|------------ b ------------|
      111 |               |              |slat        |
          | block         |              |            |
       22 +------------------ front ------------------+
        0 +------------------ strip ------------------+  -22
          0              200            300          400
"""

import deskmodel
from deskmodel import Bond, Desk, DowelJoint, FaceDowels, Laminate, Member, ThroughDowels


def desk() -> Desk:
    d = Desk("tiny frame")

    def rail(name, length, x, y, along="x", section=(22, 60)):
        return d.place(Member(name, section, length, "ash"), at=(x, y, 0), along=along)

    front, back = rail("front", 400, 0, 0), rail("back", 400, 0, 222)
    left, right = rail("left", 200, 0, 22, "y"), rail("right", 200, 378, 22, "y")
    cross = rail("cross", 200, 200, 22, "y")
    a, b = rail("a", 178, 22, 111), rail("b", 156, 222, 111)
    slat = rail("slat", 89, 300, 22, "y", (16, 60))
    block = rail("block", 80, 22, 22, section=(80, 60))
    strip = rail("strip", 400, 0, -22)

    d.join(DowelJoint(left, front))
    d.join(DowelJoint(left, back))
    d.join(DowelJoint(right, front))
    d.join(DowelJoint(right, back))
    d.join(DowelJoint(cross, front))
    d.join(DowelJoint(cross, back))
    d.join(DowelJoint(a, left))
    d.join(DowelJoint(b, right))
    d.join(DowelJoint(slat, front))
    d.join(DowelJoint(slat, b))
    d.join(ThroughDowels(a, cross, b, "8x60"))
    d.join(FaceDowels(block, front), Bond(block, left, glue="PVAc"))
    d.join(FaceDowels(strip, front, "8x30", at=((62, 30), (180, 30), (340, 30))), Laminate([strip, front], glue="PVAc"))
    d.cut(back, deskmodel.Groove("under edge", 11, 6, 3, name="cable groove"))
    return d
