"""The order of activities: which can wait, which can't, and how sure the end is.

Forward, an activity starts when the last of those before it ends; backward, it must end when the
first of those after it must start. Total float is how long it can wait without moving the end, free
float without moving another. Of three guesses a, m, b the mean is (a + 4m + b)/6 and the standard
deviation (b − a)/6; along one path means and variances add up.

Source: critical path method and PERT, as several texts give them.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from graphlib import CycleError, TopologicalSorter

import msgspec

from benchmate.nearest import or_nearest
from benchmate.quantities import quote
from benchmate.reckon.asking.fields import Fields
from benchmate.reckon.asking.frame import Given, Input, Plain, Reckoner, Refused, Result, Worked
from benchmate.reckon.weight.student import normal_cdf

MOST_ACTIVITIES = 1000
_LONGEST_MIN = 5_256_000.0
"""Ten years."""


@dataclass(frozen=True)
class Activity:
    """One activity, minutes; `sd` is zero where its duration is taken as sure."""

    id: str
    minutes: float
    sd: float = 0.0
    after: tuple[str, ...] = ()


class Slot(msgspec.Struct, frozen=True):
    """When an activity can and must start and end, minutes from the start of all."""

    es: float
    ef: float
    ls: float
    lf: float
    free_float: float

    @property
    def total_float(self) -> float:
        """How long it can wait without moving the end."""
        return self.ls - self.es


@dataclass(frozen=True)
class Network:
    """All slots by id, the whole's duration, and the variance of its longest path."""

    slots: Mapping[str, Slot]
    minutes: float
    variance: float

    @property
    def critical(self) -> list[str]:
        """The activities that can't wait, in the order in which they were given."""
        return [one for one, slot in self.slots.items() if self._touches(slot.total_float, 0.0)]

    def _touches(self, one: float, other: float) -> bool:
        return math.isclose(one, other, rel_tol=1e-9, abs_tol=1e-9 * max(1.0, self.minutes))

    def probability(self, deadline_min: float) -> float:
        """Probability that the longest path ends by a deadline; sure or not where sd is zero."""
        if self.variance == 0.0:
            return 1.0 if deadline_min >= self.minutes * (1.0 - 1e-12) else 0.0
        return normal_cdf((deadline_min - self.minutes) / math.sqrt(self.variance))


def pert(a: float, m: float, b: float) -> tuple[float, float]:
    """Return mean and standard deviation of the least, most likely and longest duration."""
    return (a + 4.0 * m + b) / 6.0, (b - a) / 6.0


def network(activities: Sequence[Activity]) -> Network:
    """Return when everything can and must happen; raises Refused for a cycle, by name."""
    by_id = {one.id: one for one in activities}
    order = _ordered(by_id)
    ends: dict[str, float] = {}
    spread: dict[str, float] = {}
    for one in order:
        start = max((ends[before] for before in by_id[one].after), default=0.0)
        # Of tied paths the one of the largest spread counts.
        late = [b for b in by_id[one].after if math.isclose(ends[b], start, rel_tol=1e-12)]
        ends[one] = start + by_id[one].minutes
        spread[one] = by_id[one].sd ** 2 + max((spread[before] for before in late), default=0.0)
    whole = max(ends.values())
    last = [one for one in order if math.isclose(ends[one], whole, rel_tol=1e-12)]
    return Network(_slots(by_id, order, ends, whole), whole, max(spread[one] for one in last))


def _slots(
    by_id: Mapping[str, Activity], order: Sequence[str], ends: Mapping[str, float], whole: float
) -> dict[str, Slot]:
    latest = dict.fromkeys(order, whole)
    next_start = dict.fromkeys(order, whole)
    for one in reversed(order):
        for before in by_id[one].after:
            latest[before] = min(latest[before], latest[one] - by_id[one].minutes)
            start = ends[one] - by_id[one].minutes
            next_start[before] = min(next_start[before], start)
    return {
        one: Slot(
            ends[one] - activity.minutes,
            ends[one],
            latest[one] - activity.minutes,
            latest[one],
            next_start[one] - ends[one],
        )
        for one, activity in by_id.items()
    }


def _ordered(by_id: Mapping[str, Activity]) -> list[str]:
    sorter = TopologicalSorter({one.id: one.after for one in by_id.values()})
    try:
        return list(sorter.static_order())
    except CycleError as error:
        # graphlib names each before what needs it, the first again at the end.
        ring = [quote(str(one)) for one in error.args[1][:6]]
        tail = " …" if len(error.args[1]) > 6 else ""
        raise Refused(
            f"the activities wait for each other in a ring: {' → '.join(ring)}{tail}; "
            "take one of these out of another's after"
        ) from error


def read_activities(data: object) -> list[Activity]:
    """Return the activities of a JSON list; raises Refused."""
    if not isinstance(data, list) or not data or len(data) > MOST_ACTIVITIES:
        raise Refused(
            "activities must be a list of 1 to 1000 objects like "
            '{"id": "turn", "duration_min": 60, "after": ["glue"]}'
        )
    found = [_activity(item, f"activities[{i}]") for i, item in enumerate(data, start=1)]
    ids = [one.id for one in found]
    for i, one in enumerate(found):
        if one.id in ids[:i]:
            raise Refused(f"two activities are called {quote(one.id)}; give each its own id")
        for before in one.after:
            if before not in ids:
                raise Refused(
                    f"{quote(one.id)} comes after {quote(before)}, which is no activity"
                    f"{or_nearest(before, ids)}"
                )
    return found


def _activity(data: object, where: str) -> Activity:
    fields = Fields(data, where)
    fields.only("id", "duration_min", "a", "m", "b", "after")
    name = _id(fields.data.get("id"), f"{where}.id")
    minutes = fields.maybe("duration_min", low=0.0, high=_LONGEST_MIN)
    guesses = [fields.maybe(key, low=0.0, high=_LONGEST_MIN, unit="min") for key in "amb"]
    after = fields.data.get("after") or []
    listed = after if isinstance(after, list) else [after]
    before = tuple(dict.fromkeys(_id(item, f"{where}.after") for item in listed))
    if minutes is not None and guesses != [None] * 3:
        raise Refused(f"{where} has duration_min and a, m, b; give one of them")
    if minutes is not None:
        return Activity(name, minutes, 0.0, before)
    if any(guess is None for guess in guesses):
        raise Refused(f"{where} needs duration_min, or a, m and b")
    a, m, b = (guess or 0.0 for guess in guesses)
    if not a <= m <= b:
        raise Refused(f"{where}: a, m and b must rise: least, most likely, longest")
    return Activity(name, *pert(a, m, b), before)


def _id(value: object, where: str) -> str:
    text = str(value) if isinstance(value, str | int) and not isinstance(value, bool) else ""
    if not text.strip() or len(text) > 80 or not text.isprintable():
        raise Refused(f"{where} must be a short name or a number")
    return text


def _work(given: Given) -> Worked:
    activities = read_activities(given.data("activities"))
    found = network(activities)
    deadline_min = given.maybe("deadline_min")
    # A number stays a number where it was given as one.
    given_ids: dict[str, Plain] = {str(item["id"]): item["id"] for item in given.data("activities")}
    per_id: dict[str, Plain] = {
        one: {**msgspec.structs.asdict(slot), "total_float": slot.total_float}
        for one, slot in found.slots.items()
    }
    return Worked(
        {
            "per_id": per_id,
            "project_min": found.minutes,
            "critical": [given_ids[one] for one in found.critical],
            "mean": found.minutes,
            "sd": math.sqrt(found.variance),
            "var": found.variance,
            "probability": None if deadline_min is None else found.probability(deadline_min),
        }
    )


RECKONER = Reckoner(
    name="path",
    title="Which activities can't wait, and how sure the end is",
    inputs=(
        Input(
            "activities",
            "a list of objects with id, duration_min or the guesses a, m, b (least, "
            "most likely, longest) in minutes, and after, the ids that must be done before",
            takes="data",
        ),
        Input(
            "deadline_min",
            "by when all should be done, from the start",
            needed=False,
            low=0.0,
            high=_LONGEST_MIN,
        ),
    ),
    results=(
        Result(
            "per_id",
            "by id, in minutes: es and ef, earliest start and finish; ls and lf, "
            "latest; total_float; free_float",
            unit="",
        ),
        Result("project_min", "from the start to the end of all"),
        Result("critical", "the activities without float", unit=""),
        Result("mean", "of the longest path, minutes", unit="min"),
        Result("sd", "of the longest path, minutes", unit="min", decimals=2),
        Result("var", "of the longest path, minutes squared", unit=""),
        Result(
            "probability",
            "that the longest path ends by the deadline",
            unit="",
            if_none="no deadline given",
        ),
    ),
    formula="es = max ef before, lf = min ls after; total float ls − es, free float "
    "min es after − ef; mean (a + 4m + b)/6, sd (b − a)/6; P = Φ((deadline − mean)/sd)",
    sources=("critical path method and PERT, several texts",),
    limits=(
        "The probability is that of one path; another that is nearly as long lowers it.",
        "Of tied paths the one with the largest sd counts.",
        "Minutes run through nights: a cure counts whole, hands' time doesn't.",
    ),
    example={
        "activities": '[{"id": "glue", "duration_min": 60}, '
        '{"id": "cure", "a": 600, "m": 720, "b": 1200, "after": ["glue"]}, '
        '{"id": "handle", "duration_min": 180}, '
        '{"id": "fit", "a": 30, "m": 45, "b": 90, "after": ["cure", "handle"]}]',
        "deadline_min": "960",
    },
    work=_work,
)
