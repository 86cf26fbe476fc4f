"""The tins on the shelf by name: those that stand there, those used up, the one that is meant."""

from __future__ import annotations

import msgspec

from benchmate.bench.service import Bench
from benchmate.nearest import did_you_mean
from benchmate.refusal import UnknownAddress
from benchmate.stores import FAMILIES, Tin, decode_tin


def tins_of(bench: Bench) -> dict[str, Tin]:
    """The shelf by name. A label that can't be read is left out: the family's values hold."""
    out: dict[str, Tin] = {}
    for name, label in bench.shop.shelf.labels.items():
        try:
            out[name] = decode_tin(label)
        except ValueError:
            continue
    return out


def gone_tins(bench: Bench) -> dict[str, Tin]:
    """Tins that were used up, by name, each as a fresh one: with its label, not yet opened."""
    out: dict[str, Tin] = {}
    for name, label in bench.shop.shelf.gone.items():
        try:
            out[name] = msgspec.structs.replace(decode_tin(label), opened_on="")
        except ValueError:
            continue
    return out


def find_tin(bench: Bench, name: str) -> Tin:
    """A tin on the shelf, or one of a family where the shelf has none of that name."""
    tins = tins_of(bench)
    if name in tins:
        return tins[name]
    if name in FAMILIES:
        return Tin(name=name, family=name)
    known = [*tins, *FAMILIES]
    loose = [k for k in known if name.lower() in k.lower()]
    if len(loose) == 1:
        return tins.get(loose[0]) or Tin(name=loose[0], family=loose[0])
    if loose:
        raise UnknownAddress(f"“{name[:40]}” may be any of {', '.join(loose)}; say which.")
    hint = did_you_mean(name, known, "`benchmate stores` lists them.")
    raise UnknownAddress(f"There is no tin “{name[:40]}”.{hint}")
