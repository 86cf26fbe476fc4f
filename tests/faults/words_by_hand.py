"""What is said of one edge and when, worked out by hand from its spans, answers and the rules."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from tests.faults.reminder_rules import (
    GAPS,
    MANNER,
    STAGES,
    is_quiet,
    manner_at,
    pressed,
    quiet_ends,
)
from tests.faults.week_by_hand import FOREVER, Span, Spoken, Story, Strand


@dataclass(frozen=True)
class Answers:
    """How the maker answers: so long after a stage's first word, and what."""

    heard_after_s: dict[tuple[str, str], float]
    call_again: dict[tuple[str, str], tuple[float, float]]
    """After so long: "call me again in" so long."""


def words_of(
    story: Story,
    strands: Sequence[Strand],
    strand: Strand,
    answers: Answers,
    until_s: float,
    tz: ZoneInfo,
    machine: tuple[float, float],
) -> list[Spoken]:
    """All that is said of one edge, looked at whenever anything about it may change."""
    spoken: list[Spoken] = []
    times: dict[str, list[float]] = {}
    numbers: dict[str, int] = {}
    heard_s: dict[str, float] = {}
    call: tuple[float, float, str] | None = None
    rivals = [s for s in strands if s.kind in ("closes", "full")]
    at_s = strand.begun_s
    while at_s < until_s:
        span, stage = strand.at(at_s), strand.stage(at_s)
        silent = any(a <= at_s < b for a, b in story.silent)
        stale = strand.kind == "opens" and any(
            r.stage(at_s) and (r.window == strand.window or r.shares(strand, at_s)) for r in rivals
        )
        if span is not None and stage is not None and not silent and not stale:
            loud = strand.kind in ("closes", "weigh") and span.consequence == "spoils mix"
            night = is_quiet(at_s, tz)
            manner = manner_at(stage, span.consequence, quiet=night)
            held = not loud and night and stage != "weigh"
            held = held or (not loud and machine[0] <= at_s < machine[1])
            if call is not None and call[0] <= at_s < call[1]:
                held = held or not loud or stage == call[2]
            answered = any(
                s <= at_s and STAGES.index(n) >= STAGES.index(stage) for n, s in heard_s.items()
            )
            past = times.get(stage, [])
            if call is not None and call[2] == stage and call[0] <= at_s:
                past = [t for t in past if t > call[0]]
            gaps = GAPS[manner] if manner else []
            close_s = _close_s(span)
            ripe = not past or (
                len(past) <= len(gaps)
                and at_s
                >= past[-1] + pressed(gaps[len(past) - 1], manner, close_s - past[-1]) - 1e-6
            )
            if manner and ripe and not held and not answered:
                spoken.append((at_s, strand.key, stage, numbers.get(stage, 0)))
                numbers[stage] = numbers.get(stage, 0) + 1
                first = stage not in times
                times.setdefault(stage, []).append(at_s)
                if first and (strand.key, stage) in answers.heard_after_s:
                    heard_s[stage] = at_s + answers.heard_after_s[strand.key, stage]
                if first and (strand.key, stage) in answers.call_again:
                    after_s, in_s = answers.call_again[strand.key, stage]
                    call = (at_s + after_s, at_s + after_s + in_s, stage)
        at_s = _next(at_s, strands, strand, story, times, heard_s, call, tz, machine)
    return spoken


def _next(
    at_s: float,
    strands: Sequence[Strand],
    strand: Strand,
    story: Story,
    times: dict[str, list[float]],
    heard_s: dict[str, float],
    call: tuple[float, float, str] | None,
    tz: ZoneInfo,
    machine: tuple[float, float],
) -> float:
    """The next moment at which anything about the edge may change."""
    moments = [*heard_s.values(), *machine, *(s for pair in story.silent for s in pair)]
    moments += call[:2] if call else ()
    for other in strands:
        steps = {span.step for span in strand.spans if span.step}
        if (
            other is strand
            or (other.window and other.window == strand.window)
            or any(span.step in steps for span in other.spans)
        ):
            for span in other.spans:
                moments += [span.from_s, span.to_s, *(s for s, _ in span.stages)]
    for stage, said in times.items():
        for manner in {m for (s, _), m in MANNER.items() if s == stage}:
            gaps = GAPS[manner][:8]
            moments += [said[-1] + gap for gap in gaps]
            closes = [_close_s(span) - said[-1] for span in strand.spans]
            moments += [said[-1] + pressed(gap, manner, left) for gap in gaps for left in closes]
    moments.append(quiet_ends(at_s, tz))
    return min((s for s in moments if s > at_s), default=FOREVER)


def _close_s(span: Span) -> float:
    """When it is missed; never where it can't be."""
    return next((at_s for at_s, stage in span.stages if stage == "missed"), FOREVER)
