"""What the weigh prompt answers while a weight is being typed."""

from __future__ import annotations

from collections.abc import Iterable

from benchmate.bench.weights.weighing import Preview, split_said
from benchmate.landing.words import say_in
from benchmate.quantities import Units, show_mass
from benchmate.tui.present.bench.foot import VERDICT_ROLES
from benchmate.tui.present.lines import Span


def to_go(seen: Preview, units: Units) -> Iterable[Span | str]:
    """Of a running reading: what is still to be poured, and what went in so far."""
    if seen.to_go_g is not None:
        word = "to go" if seen.to_go_g >= 0 else "too much"
        yield Span(f"{show_mass(abs(seen.to_go_g), units)} {word}", "strong")
    for what, grams in (seen.split or {}).items():
        yield f"   {split_said(what, grams, units)}"


def against_plan(seen: Preview, units: Units, division_g: float) -> Iterable[Span | str]:
    """Of a final weight: how far from the plan, and the verdict."""
    if seen.difference_g is not None:
        step = seen.judgement.step_g if seen.judgement else division_g
        off = say_in(units)(abs(seen.difference_g), step)
        sign = "−" if seen.difference_g < 0 else "+"
        yield Span(f"{sign if any(c in '123456789' for c in off) else ''}{off}", "strong")
        yield " from plan   "
    if seen.judgement is not None:
        yield Span(seen.judgement.said(say_in(units)), VERDICT_ROLES[seen.judgement.verdict])
