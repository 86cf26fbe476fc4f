"""The materials on the shelf by name: those that stand there, those used up, the one that is
meant."""

from __future__ import annotations

import msgspec

from benchmate.bench.service import Bench
from benchmate.nearest import did_you_mean
from benchmate.refusal import UnknownAddress
from benchmate.shelf import FAMILIES, Material, decode_material


def materials_of(bench: Bench) -> dict[str, Material]:
    """The shelf by name. A label that can't be read is left out: the family's values hold."""
    out: dict[str, Material] = {}
    for name, label in bench.shop.shelf.labels.items():
        try:
            out[name] = decode_material(label)
        except ValueError:
            continue
    return out


def gone_materials(bench: Bench) -> dict[str, Material]:
    """Materials that were used up, by name, each as a fresh one: with its label, not yet opened."""
    out: dict[str, Material] = {}
    for name, label in bench.shop.shelf.gone.items():
        try:
            out[name] = msgspec.structs.replace(decode_material(label), opened_on="")
        except ValueError:
            continue
    return out


def find_material(bench: Bench, name: str) -> Material:
    """A material on the shelf, or one of a family where the shelf has none of that name."""
    materials = materials_of(bench)
    if name in materials:
        return materials[name]
    if name in FAMILIES:
        return Material(name=name, family=name)
    known = [*materials, *FAMILIES]
    loose = [k for k in known if name.lower() in k.lower()]
    if len(loose) == 1:
        return materials.get(loose[0]) or Material(name=loose[0], family=loose[0])
    if loose:
        raise UnknownAddress(f"“{name[:40]}” may be any of {', '.join(loose)}; say which.")
    hint = did_you_mean(name, known, "`benchmate shelf` lists them.")
    raise UnknownAddress(f"There is no material “{name[:40]}”.{hint}")


def own_material(bench: Bench, name: str) -> Material:
    """As `find_material`; of a family the maker's own, whose label is known, where there is one.

    Raises UnknownAddress also where there are several of it: which one is in the hand is asked.
    """
    found = find_material(bench, name)
    if found.name != found.family:
        return found
    own = [m for m in materials_of(bench).values() if m.family == found.family]
    if len(own) > 1:
        names = ", ".join(m.name for m in own)
        raise UnknownAddress(
            f"There are several of “{name[:40]}” on the shelf: {names}. Say which."
        )
    return own[0] if own else found
