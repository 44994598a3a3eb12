"""``jigs/jigs.json``: the jigs and where each is used, for programs. What the keys mean: ``deskmodel.jigs``."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from deskmodel.errors import BuildFault
from deskmodel.exporters._jigs import jig_path, member_paths
from deskmodel.exporters._job import ExportJob, Written
from deskmodel.exporters._json import json_bytes
from deskmodel.jigs import Depth, Jig, JigBody, JigUse, NotMade

__all__ = ["export_jigs_json"]

NAME = "jigs/jigs.json"
SCHEMA = 1


def export_jigs_json(job: ExportJob) -> Written:
    paths = member_paths(job)
    record = {
        "schema": SCHEMA, "revision": job.revision, "unreleased": job.unreleased,
        "jigs": [_jig(jig, job.jig_bodies[jig.number]) for jig in job.jigs.jigs],
        "uses": [_use(use, paths[use.like]) for use in job.jigs.uses],
        "not_made": [_not_made(each) for each in job.jigs.not_made],
    }

    def read_back(folder: Path) -> None:
        if json.loads((folder / NAME).read_bytes()) != json.loads(json_bytes(record)):
            raise BuildFault(f"{NAME} read back says something else")

    return Written({NAME: json_bytes(record)}, read_back)


def _jig(jig: Jig, body: JigBody) -> dict[str, Any]:
    pose = body.seat_from_print
    return {
        "number": jig.number, "kind": jig.kind, "hand": jig.hand, "stl": jig_path(jig, "stl"), "step": jig_path(jig, "step"),
        "3mf": jig_path(jig, "3mf"),
        "seat_from_print": {"rotation": [list(row) for row in pose.rotation], "translation": list(pose.origin)},
        "drill": jig.diameter, "bit": {"kind": jig.bit.kind, "length": jig.bit.length, "point": jig.bit.point},
        "bush": {"bore": jig.bush.bore, "outside": jig.bush.outside, "length": jig.bush.length, "seat": jig.bush.seat},
        "seat_diameter": jig.seat_diameter, "axes": [list(axis) for axis in jig.axes], "guide": jig.guide, "gap": jig.gap,
        "above": jig.above, "web": jig.web, "lip": jig.lip, "far_sight": jig.far_sight, "fence": jig.fence,
        "depths": [_depth(each) for each in jig.depths],
    }


def _depth(each: Depth) -> dict[str, Any]:
    return {"depth": each.depth, "stop": each.stop, "through": each.through}


def _use(use: JigUse, file: str) -> dict[str, Any]:
    return {
        "jig": use.jig, "member": use.member, "quantity": len(use.members), "members": list(use.members), "file": file,
        "place": use.place, "mark": use.mark, "towards": use.towards, "sight": use.sight, **_depth(use.depth),
        "holes": [list(hole) for hole in use.holes],
        "joint": "; ".join(dict.fromkeys(joint for joint in use.joints if joint)), "turned_over": use.turned_over,
    }


def _not_made(each: NotMade) -> dict[str, Any]:
    return {"parts": list(each.parts), "place": each.place, "joint": "; ".join(each.joints), "reason": each.reason,
            "severity": each.severity}
