"""Published scheduling instances as problems: PSPLIB's `.sm` and ProGen/max's `.sch` layouts.

They go through the same model as jobs do. `python -m tests.reference.scheduling.instances FILE ...`
says each one's shortest time.

Sources: Kolisch and Sprecher, PSPLIB, European Journal of Operational Research 96 (1997), 205-216;
Schwindt, ProGen/max, Universität Karlsruhe (1998).
"""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import NamedTuple

from benchmate.planner.problem import Activity, Holding, Lag, PlannerPlan, PlannerProblem
from benchmate.refusal import Refused

PROJECT = "project"


def read_instance(name: str, text: str) -> PlannerProblem:
    """An instance by its file's name and text. Raises Refused with what can't be read."""
    try:
        match Path(name).suffix.lower():
            case ".sm":
                return read_sm(text)
            case ".sch":
                return read_sch(text)
    except Refused as refusal:
        raise Refused(f"{name}: {refusal}") from refusal
    raise Refused(f"{name}: only .sm and .sch files can be read.")


def read_sm(text: str) -> PlannerProblem:
    """PSPLIB: durations and orders, a few renewable resources, one mode each."""
    for kind in ("nonrenewable", "doubly constrained"):
        if (found := re.search(rf"{kind}\s*:\s*(\d+)", text)) and int(found[1]):
            raise Refused(f"it has {kind} resources, and only renewable ones can be planned.")
    found = re.search(r"-\s*renewable\s*:\s*(\d+)", text)
    if found is None:
        raise Refused("it doesn't say how many renewable resources there are.")
    kinds = int(found[1])
    orders = _Numbers(_section(text, r"PRECEDENCE RELATIONS:"), "the orders")
    successors: dict[int, list[int]] = {}
    while orders.left:
        number, modes, many = orders.take(3)
        _one_mode(number, modes)
        successors[number] = orders.take(many)
    requests = _Numbers(_section(text, r"REQUESTS/DURATIONS:"), "the requests")
    needs: dict[int, list[int]] = {}
    while requests.left:
        number, mode, *rest = requests.take(3 + kinds)
        _one_mode(number, mode)
        needs[number] = rest
    capacities = _Numbers(_section(text, r"RESOURCE\s?AVAILABILITIES:"), "the resources").take(
        kinds
    )
    lags = [(i, j, needs[i][0]) for i, js in successors.items() if i in needs for j in js]
    return _problem(needs, lags, capacities)


def read_sch(text: str) -> PlannerProblem:
    """ProGen/max: lags from start to start, negative ones backwards; one mode each."""
    rows = [line for line in text.splitlines() if line.strip()]
    head = _Numbers(rows[0] if rows else "", "the first line")
    many, kinds = head.take(2)
    if any(head.take(head.left)):
        raise Refused("it has nonrenewable resources, and only renewable ones can be planned.")
    if not kinds and len(rows) == 2 * (many + 2) + 1:
        rows.append("")  # the line of capacities is empty, and may be missing
    if len(rows) != 2 * (many + 2) + 2:
        raise Refused(f"{len(rows)} lines, and {many} activities need {2 * many + 6}.")
    lags: list[tuple[int, int, int]] = []
    for row in rows[1 : many + 3]:
        numbers = _Numbers(row, "the lags")
        number, modes, successors = numbers.take(3)
        _one_mode(number, modes)
        ahead, least = numbers.take(successors), numbers.take(successors)
        lags += [(number, j, lag) for j, lag in zip(ahead, least, strict=True)]
    needs: dict[int, list[int]] = {}
    for row in rows[many + 3 : -1]:
        number, mode, *rest = _Numbers(row, "the demands").take(3 + kinds)
        _one_mode(number, mode)
        needs[number] = rest
    return _problem(needs, lags, _Numbers(rows[-1], "the capacities").take(kinds))


def _one_mode(number: int, modes: int) -> None:
    if modes != 1:
        raise Refused(f"activity {number} has several modes, and only one can be planned.")


def _section(text: str, title: str) -> str:
    """The numbers beneath a heading, up to the next line of stars."""
    found = re.search(rf"{title}[^\n]*\n(.*?)(?:\*{{5,}}|\Z)", text, re.DOTALL)
    rows = found[1].splitlines() if found else []
    numeric = [row for row in rows if re.fullmatch(r"[\d\s]+", row)]
    if not numeric:
        raise Refused(f"there are no numbers under {title.replace(chr(92) + 's?', ' ')}")
    return "\n".join(numeric)


class _Numbers:
    """Whole numbers one after another, in brackets or not, over the ends of lines."""

    def __init__(self, text: str, what: str) -> None:
        self._values: Iterator[int] = iter([int(n) for n in re.findall(r"-?\d+", text)])
        self.left = len(re.findall(r"-?\d+", text))
        self._what = what

    def take(self, many: int) -> list[int]:
        """The next so many."""
        self.left -= many
        if self.left < 0 or many < 0:
            raise Refused(f"numbers are missing in {self._what}.")
        return [next(self._values) for _ in range(many)]


def _problem(
    needs: Mapping[int, list[int]], lags: list[tuple[int, int, int]], capacities: list[int]
) -> PlannerProblem:
    place = {number: i for i, number in enumerate(needs)}
    strange = {n for i, j, _ in lags for n in (i, j)} - set(place)
    if not place or strange:
        raise Refused(f"activity {min(strange, default=0)} has no duration.")
    last = max(place)
    reach = {n: rest[0] for n, rest in needs.items()}
    for i, _, least in lags:
        reach[i] = max(reach[i], least)
    counts = {f"resource {k}": capacity for k, capacity in enumerate(capacities, start=1)}
    return PlannerProblem(
        activities=tuple(
            Activity(key=str(n), minutes=rest[0], job=PROJECT if n == last else "")
            for n, rest in needs.items()
        ),
        lags=tuple(Lag(first=place[i], then=place[j], least=least) for i, j, least in lags),
        holdings=tuple(
            Holding(count=c, amount=a, first=place[n], begins=0, last=place[n], ends=rest[0])
            for n, rest in needs.items()
            for c, a in zip(counts, rest[1:], strict=True)
            if a and rest[0]
        ),
        counts=counts,
        horizon=sum(reach.values()),
        day_min=1,
    )


class Solved(NamedTuple):
    """An instance's shortest time, whether that is "proven", "impossible" or "not proven"."""

    minutes: int | None
    how: str
    plan: PlannerPlan | None = None


def shortest(problem: PlannerProblem, seconds: float = 300.0) -> Solved:
    """The shortest time from the dummy start to the dummy end."""
    from benchmate.planner.improve import Improver

    improver = Improver(problem, None, seconds, lambda plan, bounds: None)
    plan = improver.run()
    if plan is None:
        return Solved(None, "impossible" if improver.impossible else "not proven")
    last = next(i for i, a in enumerate(problem.activities) if a.job)
    minutes = plan.starts[last] + problem.activities[last].minutes
    is_proven = improver.bounds.get("finish days") == minutes
    return Solved(minutes, "proven" if is_proven else "not proven", plan)


def main(names: list[str]) -> int:
    """Say each file's shortest time; the exit code is 2 where one couldn't be read."""
    unread = 0
    for name in names:
        try:
            # Only numbers and plain words are looked for: a letter of another code is no harm.
            text = Path(name).read_text(encoding="utf-8-sig", errors="replace")
            problem = read_instance(Path(name).name, text)
        except (OSError, Refused) as error:
            sys.stderr.write(f"{error}\n")
            unread = 2
            continue
        solved = shortest(problem)
        minutes = "" if solved.minutes is None else solved.minutes
        sys.stdout.write(f"{name} {minutes} {solved.how}\n")
    return unread


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
