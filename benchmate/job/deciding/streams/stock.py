"""What acts take from materials: recorded in the same breath, and put back with a taking back."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

from benchmate.job.events import stored as ev
from benchmate.job.state.fold import voided
from benchmate.job.state.shop import STORES, Write
from benchmate.job.state.state import JobState, Recorded
from benchmate.plan.plan import Step

_COUNTS = (ev.Done, ev.FreeAct, ev.AmountsSaid, ev.Weighed, ev.TakenBack)
"""Events that can change what was taken."""
SMALLEST_G = 1e-6


@dataclass
class _Taken:
    """One act that was done, with what was said of its amounts, by name or (free) by material."""

    address: str
    is_free: bool
    said: dict[str, float] = field(default_factory=dict)


def stock_of(
    state: JobState | None, made: Sequence[ev.JobEvent], labels: Mapping[str, str]
) -> list[Write]:
    """What these events of a job take from materials that stand on the shelf.

    A cup that was spoiled was used all the same. Taken as planned where nobody said otherwise.
    """
    if state is None or not labels or not any(isinstance(e, _COUNTS) for e in made):
        return []
    fresh = [Recorded(state.version + n, event) for n, event in enumerate(made, 1)]
    before = _used(state.records, state.steps)
    after = _used((*state.records, *fresh), state.steps)
    when = made[-1]
    return [
        (
            STORES,
            ev.MaterialUsed(
                happened=when.happened,
                recorded=when.recorded,
                name=material,
                amount=round(change, 3),
            ),
        )
        for material in after | before
        if material in labels
        and abs(change := after.get(material, 0.0) - before.get(material, 0.0)) > SMALLEST_G
    ]


def _used(records: Sequence[Recorded], steps: Mapping[str, Step]) -> dict[str, float]:
    """Grams that all acts that count have taken, by material."""
    from benchmate.shelf.stock import taken

    out: dict[str, float] = {}
    for act in _acts(records):
        step = steps.get(act.address)
        amounts = act.said if act.is_free else taken(step, steps, act.said) if step else {}
        for material, grams in amounts.items():
            out[material] = out.get(material, 0.0) + grams
    return out


def _acts(records: Sequence[Recorded]) -> Iterable[_Taken]:
    """Acts that count, oldest first. One that was done twice was taken for twice; what is said of
    its amounts is of the last time."""
    void = voided(records)
    acts: list[_Taken] = []
    last: dict[str, _Taken] = {}
    early: dict[str, dict[str, float]] = {}
    for record in records:
        event = record.event
        if record.version in void:
            continue
        if isinstance(event, ev.Done):
            said = early.pop(event.address, {}) | {a.what: a.amount for a in event.used}
            last[event.address] = _Taken(event.address, is_free=False, said=said)
            acts.append(last[event.address])
        elif isinstance(event, ev.FreeAct):
            last[event.address] = _Taken(event.address, is_free=True)
            acts.append(last[event.address])
            last[event.address].said.update(_by_material(event))
        elif isinstance(event, ev.Weighed):
            act = last.get(event.address)
            (early.setdefault(event.address, {}) if act is None else act.said).update(event.split)
        elif isinstance(event, ev.AmountsSaid) and event.address in last:
            act = last[event.address]
            act.said.update(_by_material(event) if act.is_free else _by_name(event))
    return acts


def _by_material(event: ev.FreeAct | ev.AmountsSaid) -> dict[str, float]:
    return {a.material: a.amount for a in event.used if a.material and a.unit == "g"}


def _by_name(event: ev.AmountsSaid) -> dict[str, float]:
    return {a.what: a.amount for a in event.used}
