"""Which parameters are left to be found, for which goal, and between which limits."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from benchmate.fields.problem import Fault
from benchmate.plan.found import FIND
from benchmate.procedure.file.parameters import size_of
from benchmate.procedure.file.schema import Parameter
from benchmate.quantities import show_number

Goal = Literal["target", "balance"]
_STEPS = {"length": (0.1, "mm"), "percent": (0.1, "%"), "count": (1.0, "")}
"""Kind to how finely it is looked for, and its unit."""


@dataclass(frozen=True)
class Wish:
    """A parameter that is sought; of some pieces, where it was typed for the others."""

    name: str
    parameter: Parameter
    goal: Goal
    pieces: tuple[str, ...] = ()

    @property
    def choices(self) -> tuple[str, ...]:
        """What there is to choose among, where it is no size."""
        return self.parameter.choices if self.parameter.kind in ("choice", "material") else ()

    @property
    def step(self) -> float:
        """How finely it is looked for, in its unit."""
        return 1.0 if self.choices else _STEPS[str(self.parameter.kind)][0]

    @property
    def unit(self) -> str:
        """The unit of its number: "mm", "%"; empty for a count or a choice."""
        return "" if self.choices else _STEPS[str(self.parameter.kind)][1]

    @property
    def limits(self) -> tuple[int, int]:
        """Between which steps it is looked for."""
        if self.choices:
            return 0, len(self.choices) - 1
        ends = (self.parameter.at_least, self.parameter.at_most)
        low, high = (size_of(str(self.parameter.kind), end) or 0.0 for end in ends)
        return round(low / self.step), round(high / self.step)

    def number(self, step: int) -> float:
        """The number that a step stands for."""
        return round(step * self.step, 6)

    def value(self, step: int) -> Any:
        """What stands among the parameters at a step."""
        if self.choices:
            return self.choices[step]
        if self.parameter.kind == "count":
            return step
        return f"{show_number(self.number(step), 1)} {self.unit}"


def wishes_of(
    parameters: Mapping[str, Parameter], given: Mapping[str, Any], faults: list[Fault]
) -> list[Wish]:
    """The parameters that are sought; what can't be sought goes into `faults`."""
    wishes = [w for name, p in parameters.items() if (w := _wish(name, p, given.get(name)))]
    for wish in wishes:
        faults.extend(_unfit(wish))
    for goal in ("target", "balance"):
        same = [w for w in wishes if w.goal == goal]
        if len(same) > 1:
            names = " and ".join(f"“{w.name}”" for w in same)
            wrong = f"{names} are both left to be found for the {goal}"
            faults.append(Fault(("parameters", same[1].name), wrong, "type one of them"))
    return sorted(wishes, key=lambda wish: wish.goal == "balance")


def _wish(name: str, parameter: Parameter, value: Any) -> Wish | None:
    goal: Goal = parameter.find or "target"
    if isinstance(value, Mapping):
        pieces = tuple(piece for piece, own in value.items() if _is_find(own))
        return Wish(name, parameter, goal, pieces) if pieces else None
    if value is None and parameter.find:
        return Wish(name, parameter, goal)
    return Wish(name, parameter, goal) if _is_find(value) else None


def _is_find(value: Any) -> bool:
    return isinstance(value, str) and value.strip().casefold() == FIND


def _unfit(wish: Wish) -> Iterator[Fault]:
    where, parameter = ("parameters", wish.name), wish.parameter
    if wish.choices:
        return
    if parameter.kind not in _STEPS:
        wrong = f"can't be found: it is of kind {parameter.kind}"
        yield Fault(where, wrong, "leave a length, a percentage, a count or a choice to be found")
    elif parameter.at_least is None or parameter.at_most is None:
        yield Fault(where, "has no limits to look between", "write at_least and at_most")
