"""What the planner's process is asked, and what it answers: one line of JSON each."""

from __future__ import annotations

from typing import Literal

import msgspec

from benchmate.planner.problem import PlannerAim, PlannerProblem

Kind = Literal["plan", "why"]


class Candidate(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """Something that might free a plan: one more of a count, a session more, a later due date, or
    a pin less."""

    say: str
    count: str = ""
    more: int = 0
    session: tuple[int, int] | None = None
    due: str = ""
    later_min: int = 0
    pin: str = ""
    rule: tuple[str, str] = ("", "")
    """The rule that it eases: only tried where that one collides."""


class Request(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """One question, as one line."""

    kind: Kind
    problem: PlannerProblem
    seconds: float = 10.0
    effort: float = 0.0
    """The most that one solve takes in the solver's own time, which no machine's load bends."""
    old: dict[str, int] = {}
    """By step: the starts of a plan that is to be kept as far as can be."""
    seed: int = 1
    candidates: tuple[Candidate, ...] = ()


class Told(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True, tag="plan"):
    """A plan, or that there is none: the last line says so with `is_last`."""

    steps: dict[str, tuple[int, int]] = {}
    """By step: begin and end in minutes."""
    aims: tuple[PlannerAim, ...] = ()
    missed: tuple[str, ...] = ()
    """The clocks that it misses, as people call them."""
    how: str = "greedy"
    """"greedy" or "solver"."""
    note: str = ""
    is_last: bool = False
    impossible: bool = False


class Reason(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True, tag="why"):
    """The rules that collide, or something that frees them."""

    rules: tuple[tuple[str, str], ...] = ()
    frees: str = ""
    later_days: dict[str, int] = {}
    note: str = ""
    is_last: bool = False


Answer = Told | Reason
REQUEST, ANSWER = msgspec.json.Decoder(Request), msgspec.json.Decoder(Answer)
