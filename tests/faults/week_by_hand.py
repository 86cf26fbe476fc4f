"""What a week's reminders should be, worked out from the journal's bare JSON and the rules.

Nothing of the program's own core is used: not its windows, its agenda, its edges or its rules.
The events are read as plain JSON; which edges a window has, when each stage begins, how often it
is said and what holds it back is written down here once more.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise
from typing import Any, NamedTuple
from zoneinfo import ZoneInfo

from tests.faults.reminder_rules import (
    is_quiet,
    quiet_began,
    quiet_ends,
)

FOREVER = float("inf")
LINGER_S = 12 * 3600.0
Spoken = tuple[float, str, str, int]
"""When (Unix seconds), edge, stage, round."""


@dataclass
class Story:
    """One job, as its events tell it."""

    steps: dict[str, dict[str, Any]] = field(default_factory=dict)
    windows: dict[str, dict[str, Any]] = field(default_factory=dict)
    done: dict[str, float] = field(default_factory=dict)
    begun: dict[str, float] = field(default_factory=dict)
    weighed: dict[str, float] = field(default_factory=dict)
    answered: dict[str, float] = field(default_factory=dict)
    silent: list[tuple[float, float]] = field(default_factory=list)
    """From pausing to resuming, and from the job's end on."""
    live: dict[float, list[Live]] = field(default_factory=dict)

    def changes(self) -> list[float]:
        """All moments at which anything was done or answered, or its windows end."""
        ends = (self.end(w) for w in self.windows.values())
        told = (*self.done.values(), *self.begun.values(), *self.answered.values(), *ends)
        return sorted({s for s in told if s < FOREVER})

    def end(self, window: dict[str, Any]) -> float:
        begun_s = self.anchor(window)
        if begun_s is None:
            return FOREVER
        return _end_s(self, window, begun_s, self.users(window["address"]))

    def anchor(self, window: dict[str, Any]) -> float | None:
        step = window["address"].rpartition(":")[0]
        return (self.begun if window.get("anchor") == "begun" else self.done).get(step)

    def users(self, window: str, *kinds: str) -> list[str]:
        wanted = kinds or ("waits", "waits_full", "within")
        return [a for a, s in self.steps.items() if any(window in s.get(k, ()) for k in wanted)]

    def pending(self, users: Iterable[str], at_s: float) -> list[str]:
        return [u for u in users if self.done.get(u, FOREVER) > at_s]


def read_stories(lines: Iterable[str]) -> list[Story]:
    """The jobs in an exported journal."""
    stories: dict[str, Story] = {}
    for line in lines:
        row = json.loads(line)
        if row["stream"].startswith("job:"):
            _tell(stories.setdefault(row["stream"], Story()), json.loads(row["data"]))
    return list(stories.values())


def _tell(story: Story, event: dict[str, Any]) -> None:
    at_s, kind = event["happened"][0] / 1e9, event["kind"]
    if kind == "job started" and event.get("plan"):
        for step in event["plan"]["steps"]:
            story.steps[step["address"]] = step
            story.windows |= {w["address"]: w for w in step.get("windows", ())}
    elif kind == "free act":
        story.done[event["address"]] = at_s
        story.windows |= {w["address"]: w for w in event["windows"]}
    elif kind == "done":
        story.done[event["address"]] = at_s
        story.begun[event["address"]] = event.get("begun", event["happened"])[0] / 1e9
    elif kind == "weighed":
        story.weighed[event["address"]] = at_s
    elif kind == "missed answered":
        story.answered[event["window"]] = at_s
    elif kind in ("paused", "finished", "stopped"):
        story.silent.append((at_s, FOREVER))
    elif kind == "resumed":
        story.silent[-1] = (story.silent[-1][0], at_s)


@dataclass(frozen=True)
class Span:
    """An edge as it stands for a while: until something is done that changes it."""

    from_s: float
    to_s: float
    consequence: str
    stages: tuple[tuple[float, str], ...]
    step: str = ""
    """The step that waits for it."""


@dataclass
class Strand:
    """One edge from its window's begin to its end."""

    key: str
    kind: str
    window: str
    begun_s: float
    spans: list[Span] = field(default_factory=list)

    def at(self, at_s: float) -> Span | None:
        return next((s for s in self.spans if s.from_s <= at_s < s.to_s), None)

    def shares(self, other: Strand, at_s: float) -> bool:
        """Whether both are about one step just then."""
        own, its = self.at(at_s), other.at(at_s)
        return own is not None and its is not None and bool(own.step) and own.step == its.step

    def stage(self, at_s: float) -> str | None:
        span = self.at(at_s)
        begun = [name for begins_s, name in span.stages if begins_s <= at_s] if span else []
        return begun[-1] if begun else None


def strands_of(story: Story, tz: ZoneInfo) -> Iterator[Strand]:
    """Every edge of every window that was begun, and every weight that was owed."""
    for address, window in list(story.windows.items()):
        begun_s = story.anchor(window)
        users = story.users(address)
        planned = address.rpartition(":")[0] in story.steps
        if begun_s is None or (planned and not users and "closes_s" in window):
            continue
        if users and not story.users(address, "within"):
            # Whatever only waits for it to open can come as late as it likes.
            window = story.windows[address] = {k: v for k, v in window.items() if k != "closes_s"}
        for kind in ("opens", "full", "closes"):
            strand = Strand(f"{address}:{kind}", kind, address, begun_s)
            strand.spans = list(_spans(story, window, kind, begun_s, users, tz))
            if strand.spans:
                yield strand
    yield from _weights(story, tz)


def _edge_s(window: dict[str, Any], kind: str, begun_s: float) -> float | None:
    """The label's time; a cup larger than the label's closes sooner, by the cube root."""
    if kind == "opens" and "hold_s" in window:
        return begun_s + float(window["hold_s"])
    length_s = window.get(f"{kind}_s")
    if length_s is None:
        return None
    rule = window.get("rule", {})
    label_g, mass_g = rule.get("label_mass_g"), rule.get("mass_g")
    if kind == "closes" and label_g and mass_g and mass_g > label_g:
        length_s = length_s / (mass_g / label_g) ** (1 / 3)
    return begun_s + float(length_s)


def _end_s(story: Story, window: dict[str, Any], begun_s: float, users: Sequence[str]) -> float:
    """When nobody asks about the window any more."""
    address = window["address"]
    ends = [story.answered.get(address, FOREVER)]
    if users:
        ends.append(max(story.done.get(u, FOREVER) for u in users))
    elif window.get("missed", "nothing") == "nothing":
        edges = [_edge_s(window, k, begun_s) for k in ("opens", "full", "closes")]
        ends.append(max(e for e in edges if e is not None) + LINGER_S)
    return min(ends)


def _spans(
    story: Story, window: dict[str, Any], kind: str, begun_s: float, users: list[str], tz: ZoneInfo
) -> Iterator[Span]:
    address, at_s = window["address"], _edge_s(window, kind, begun_s)
    end_s = _end_s(story, window, begun_s, users)
    if at_s is None:
        return
    changes = [s for s in story.changes() if begun_s < s < end_s]
    for from_s, to_s in pairwise(sorted({begun_s, *changes, end_s})):
        live = _live(story, from_s)
        own = next((one for one in live if one[:2] == (kind, address)), None)
        if own is None:
            continue
        hands_s, consequence, start_s, opened_s = 0.0, "nothing", begun_s, None
        if kind == "closes":
            hands_s = sum(_hands(story, u) for u in story.pending(users, from_s))
            consequence = window.get("missed", "nothing")
            opened_s = max(
                (
                    one.at_s
                    for one in live
                    if one.kind == "opens" and one.at_s <= at_s and one.is_kin(own)
                ),
                default=None,
            )
            start_s = begun_s if opened_s is None else opened_s
        elif kind == "opens":
            consequence = "extra work" if own.step else "nothing"
            near = (one.at_s for one in live if one.kind == "opens" and one.says == own.says)
            opened_s = max(s for s in near if 0 <= s - at_s <= 180)
        span = _span(from_s, to_s, kind, consequence, start_s, at_s, hands_s, tz, opened_s)
        yield replace(span, step=own.step)


class Live(NamedTuple):
    """An edge at one moment: the step that waits for it, and what is said of it."""

    kind: str
    window: str
    at_s: float
    step: str
    says: tuple[str, str]

    def is_kin(self, other: Live) -> bool:
        return self.window == other.window or (bool(self.step) and self.step == other.step)


def _live(story: Story, now_s: float) -> list[Live]:
    """The edges at a moment; a step whose time ran out and was answered for opens nothing."""
    if now_s not in story.live:
        story.live[now_s] = list(_live_edges(story, now_s))
    return story.live[now_s]


def _live_edges(story: Story, now_s: float) -> Iterator[Live]:
    for address, window in list(story.windows.items()):
        begun_s, users = story.anchor(window), story.users(address)
        planned = address.rpartition(":")[0] in story.steps
        if begun_s is None or (planned and not users and "closes_s" in window):
            continue
        if not begun_s <= now_s < _end_s(story, window, begun_s, users):
            continue
        for kind in ("opens", "full", "closes"):
            at_s = _edge_s(window, kind, begun_s)
            waiting = story.pending(story.users(address, *_waiters(kind)), now_s)
            if kind != "closes":
                waiting = [w for w in waiting if not _was_answered(story, w, now_s)]
            if at_s is not None and (waiting or not users or kind == "closes"):
                step = waiting[0] if waiting else ""
                does = story.steps[step]["do"] if step else ""
                yield Live(kind, address, at_s, step, (window.get(f"{kind}_text", ""), does))


def _was_answered(story: Story, step: str, now_s: float) -> bool:
    within = story.steps[step].get("within", ())
    return any(story.answered.get(w, FOREVER) <= now_s for w in within)


def _waiters(kind: str) -> tuple[str, ...]:
    return {"opens": ("waits",), "full": ("waits_full",)}.get(kind, ())


def _hands(story: Story, address: str) -> float:
    return float(story.steps[address].get("hands_s", 60.0))


def _span(
    from_s: float,
    to_s: float,
    kind: str,
    consequence: str,
    start_s: float,
    at_s: float,
    hands_s: float,
    tz: ZoneInfo,
    opened_s: float | None = None,
) -> Span:
    grave = "spoils mix" if consequence.startswith("spoil") else consequence
    found = tuple(_stages(kind, grave, start_s, at_s, hands_s, tz, opened_s))
    return Span(from_s, to_s, grave, found)


def _stages(
    kind: str,
    consequence: str,
    start_s: float,
    at_s: float,
    hands_s: float,
    tz: ZoneInfo,
    opened_s: float | None,
) -> Iterator[tuple[float, str]]:
    """When each stage begins, by the rules as the documentation states them.

    `opened_s`: of a close, when the same step or window opens; of an opening, when the last of the
    like openings comes that are said with it.
    """
    length_s = at_s - start_s
    if kind in ("full", "weigh"):
        yield at_s, kind
        return
    if kind == "opens":
        if consequence != "nothing" and length_s >= 3000:
            yield at_s - min(length_s / 10, 900), "soon"
        yield at_s if opened_s is None else opened_s, "opens"
        return
    if consequence == "spoils mix":
        margin_s = min(max(0.15 * length_s, 120), 900)
    else:
        margin_s = min(max(0.1 * length_s, 60), 600)
    least_s = max(length_s / 2, min(hands_s + 60, 0.9 * length_s))
    last_call_s = min(hands_s + margin_s, least_s)
    call_s = at_s - last_call_s
    if consequence != "nothing":
        first_s = min(last_call_s + min(max(0.2 * length_s, 300), 3600), 0.9 * length_s)
        soon_s = at_s - first_s if first_s - last_call_s >= 60 else FOREVER
        swallowed = consequence == "extra work" and is_quiet(call_s, tz)
        if swallowed and at_s - hands_s < quiet_ends(call_s, tz):
            soon_s = max(min(soon_s, quiet_began(call_s, tz) - 1800), start_s)
        if soon_s < call_s and (opened_s is None or soon_s >= opened_s + 180):
            yield soon_s, "soon"
    yield call_s, "closing"
    yield at_s, "missed"


def _weights(story: Story, tz: ZoneInfo) -> Iterator[Strand]:
    """A weight is owed from its act on, until it is taken or what comes after covers it."""
    for address, step in story.steps.items():
        done_s = story.done.get(address)
        if done_s is None or "weigh" not in step or step["act"] == "weighed":
            continue
        after = [a for a, s in story.steps.items() if address in s.get("after", ())]
        covered_s = min((story.done.get(a, FOREVER) for a in after), default=FOREVER)
        end_s = min(story.weighed.get(address, FOREVER), covered_s)
        strand = Strand(f"{address}:weight", "weigh", "", done_s)
        span = _span(done_s, end_s, "weigh", "extra work", done_s, done_s + 60.0, 0.0, tz)
        strand.spans.append(span)
        yield strand
