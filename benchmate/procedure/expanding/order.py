"""The plan's order: the file's, with cups beside what pours from them."""

from __future__ import annotations

from benchmate.procedure.bodies.cups import Cup
from benchmate.procedure.expanding.instances import Draft, Layout, scope_of, segments
from benchmate.procedure.file.flat import FlatStep


def in_plan_order(layout: Layout, cups: list[Cup]) -> list[Draft]:
    """All drafts, in the order in which the work is best done."""
    ordered: dict[str, Draft] = {}
    for segment in segments(layout.flats):
        for draft in _segment(layout, segment, cups):
            ordered.setdefault(draft.address, draft)
    return list(ordered.values())


def _segment(layout: Layout, segment: list[FlatStep], cups: list[Cup]) -> list[Draft]:
    """What comes before the cups, each cup with its pours, and what comes after."""
    mixes = [i for i, f in enumerate(segment) if scope_of(f) == "mix"]
    if not mixes:
        return layout.of_segment(segment)
    keys = {segment[i].key for i in mixes}
    mine = [c for c in cups if c.draft.flat.key in keys]
    poured = {d.flat.key for c in mine for d in c.served}
    first = mixes[0]
    early = [f for f in segment[:first] if f.key not in poured]
    late = [f for f in segment[first:] if f.key not in poured and f.key not in keys]
    middle = [d for c in mine for d in (c.draft, *c.served)]
    return [*layout.of_segment(early), *middle, *layout.of_segment(late)]
