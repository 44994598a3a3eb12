"""The frozen desk: what every check and document is made from, written down as model.json.

The revision is the hash of model.json, which holds the profiles and the catalogue values used.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import cast, get_args

from deskmodel._model_data import SCHEMA, DeskModel, Parameter, canonical, encode, normal, revision, write_json
from deskmodel._model_reading import read_json
from deskmodel._opening import opened
from deskmodel._veneering import veneered, veneers_named
from deskmodel._where import Where
from deskmodel._witness import put_witnesses
from deskmodel.desk import Desk, PlacedKeepOut
from deskmodel.errors import InputFault
from deskmodel.faces import PlacedPart
from deskmodel.features import Box3, Feature, Stage
from deskmodel.frames import IDENTITY
from deskmodel.joints import Layout, Site
from deskmodel.materials import material as material_named
from deskmodel.part import (
    CustomBlank,
    CustomShape,
    with_features,
)

__all__ = ["SCHEMA", "DeskModel", "Parameter", "encode", "freeze", "read_json", "resolve_customs", "revision", "write_json"]

_STAGES = get_args(Stage)


def freeze(desk: Desk, parameters: dict[str, Parameter] | None = None) -> tuple[DeskModel, dict[str, str]]:
    """The model, and where in the script each part, joint and keep-out was made, and each finding accepted
    ("desk.py:41").

    Joints are laid out by rank and then by name, so the order of the script changes nothing. InputFault, with the
    line of the joint, where one cannot be laid out."""
    parts = dict(desk.parts)
    lines = {name: str(where) for name, where in desk.lines.items()}
    done = Layout()
    opened_at: list[Where] = []
    taken: set[str] = set()
    carriers = veneers_named(tuple(parts.values()))
    bare: dict[str, list[Feature]] = {}
    for joint, where in sorted(desk.joints, key=lambda each: (each[0].rank, each[0].title, repr(each[0]))):
        name = _free_name(joint.title, taken)
        try:
            layout = joint.lay_out(Site(parts, tuple(done.records)), name)
            for part_name in sorted({name for name, _ in layout.features}):
                added = [feature for name, feature in layout.features if name == part_name]
                if part_name in carriers:
                    bare.setdefault(part_name, []).extend(added)
                    continue
                parts[part_name] = replace(parts[part_name], part=with_features(parts[part_name].part, added))
            for piece in layout.hardware:
                if piece.name in parts:
                    raise InputFault(f"a second part named {piece.name!r}", allowed="a name of its own for each part")
                parts[piece.name] = piece
                lines[piece.name] = str(where)
        except InputFault as fault:
            raise fault.about(name, parts).located(file=where.file, line=where.line) from None
        lines |= {name: str(where) for name in [*(r.name for r in layout.records), *(r.name for r in layout.rooms)]}
        done.openings += layout.openings
        opened_at += [where] * len(layout.openings)
        done.rooms += layout.rooms
        done.contacts += layout.contacts
        done.records += layout.records
    for leaf, plate in sorted(carriers.items()):
        where = desk.lines[plate]
        try:
            if leaf in parts:
                raise InputFault(f"a part named {leaf!r} like the veneer on {plate!r}", allowed="a name of its own for each")
            parts[leaf], bond = veneered(parts[plate], bare.get(leaf, ()))
        except InputFault as fault:
            raise fault.located(file=where.file, line=where.line) from None
        lines |= {leaf: str(where), bond.name: str(where)}
        done.records.append(bond)
    put_witnesses(parts, desk.lines, desk.service)
    placed = tuple(_ordered(parts[name]) for name in sorted(parts))
    keep_outs = [*desk.keep_outs, *(PlacedKeepOut(None, room, IDENTITY) for room in done.rooms)]
    for acceptance, where in zip(desk.acceptances, desk.accepted_at, strict=True):
        lines.setdefault(acceptance.title, str(where))
    lifts, swings = opened(desk.lifts, done.openings, opened_at)
    _check_acceptances(desk, {*parts, *(each.name for each in keep_outs), *(bay.name for bay in desk.bays)})
    used = sorted({part.part.material for part in placed})
    model = DeskModel(
        desk.name, tuple(sorted((parameters or {}).items())), desk.envelope, placed,
        tuple(sorted(done.records, key=lambda r: r.name)),
        tuple(sorted(done.contacts, key=lambda c: (c.male, c.female, canonical(c)))),
        tuple(sorted(desk.gaps, key=lambda g: (g.a, g.b, g.minimum, g.reason))),
        tuple(sorted(keep_outs, key=lambda k: (k.name, canonical(k)))),
        lifts, swings,
        tuple(sorted(desk.bays, key=lambda b: b.name)),
        tuple(sorted(set(desk.acceptances), key=lambda a: (a.id, a.parts, a.reason))),
        tuple(material_named(name) for name in used), desk.workshop, desk.service)
    # one form for equal values, however the script wrote them: lists become tuples, 22.0 becomes 22
    return cast(DeskModel, normal(model)), lines


def _ordered(placed: PlacedPart) -> PlacedPart:
    """The part with its features by stage, then by content: the order in which a script cut them shapes nothing."""
    features = tuple(sorted(placed.part.features, key=lambda f: (_STAGES.index(f.stage), canonical(f))))
    if features == tuple(placed.part.features):
        return placed
    return replace(placed, part=replace(placed.part, features=features))


def _check_acceptances(desk: Desk, known: set[str]) -> None:
    """InputFault for an acceptance that names what is not there: it would accept nothing, and nobody would notice."""
    for acceptance, where in zip(desk.acceptances, desk.accepted_at, strict=True):
        for name in acceptance.parts:
            if name not in known:
                raise InputFault(f"a finding accepted about {name!r}, which is no part of the desk", file=where.file,
                                 line=where.line, allowed="the names that the finding tells")


def _free_name(title: str, taken: set[str]) -> str:
    name, n = title, 1
    while name in taken:
        n += 1
        name = f"{title} {n}"
    taken.add(name)
    return name


def resolve_customs(model: DeskModel, make: Callable[[CustomBlank], tuple[str, Box3]]) -> DeskModel:
    """The model with the digest and box of each custom shape, which ``make`` finds out."""
    def resolved(placed: PlacedPart) -> PlacedPart:
        part = placed.part
        if not isinstance(part, CustomShape):
            return placed
        digest, box = make(part.blank)
        return replace(placed, part=replace(part, blank=replace(part.blank, digest=digest, box=box)))

    return replace(model, parts=tuple(resolved(part) for part in model.parts))


# ---- model.json
