"""Random events of every kind, plans with clocks of every family, and what a maker might do next.

Events are made from the types of their fields, so that a new kind is covered the day it exists.
"""

from __future__ import annotations

import random
import types
from typing import Any, Literal, Union, get_args, get_origin, get_type_hints

import msgspec
from hypothesis import strategies as st

from benchmate.air.log import AirLog
from benchmate.air.readings import Reading
from benchmate.job.events import stored as ev
from benchmate.moment import Moment
from benchmate.plan.plan import Plan, Step, Window
from benchmate.plan.rates import Rule
from tests.unit.shop_of_tests import plan

MIN, HOUR, DAY = 60.0, 3600.0, 86_400.0
KINDS: tuple[type[msgspec.Struct], ...] = (*get_args(ev.JobEvent), *get_args(ev.ShopEvent))

# Any text but for lone surrogates, which no text file can hold either.
texts = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
numbers = st.floats(allow_nan=False, allow_infinity=False)
moments = st.builds(
    Moment,
    st.integers(-(2**62), 2**62),
    st.none() | texts,
    st.none() | st.integers(-(2**62), 2**62),
)


def of_type(kind: Any) -> st.SearchStrategy[Any]:
    """Any value that a field of this type may hold."""
    plain: dict[Any, st.SearchStrategy[Any]] = {
        str: texts,
        float: numbers,
        int: st.integers(-(2**62), 2**62),
        bool: st.booleans(),
        type(None): st.none(),
        Moment: moments,
    }
    if kind in plain:
        return plain[kind]
    origin, inner = get_origin(kind), get_args(kind)
    if origin is Literal:
        return st.sampled_from(inner)
    if origin in (Union, types.UnionType):
        return st.one_of(*map(of_type, inner))
    if origin is tuple and inner[-1] is Ellipsis:
        return st.lists(of_type(inner[0]), max_size=2).map(tuple)
    if origin is tuple:
        return st.tuples(*map(of_type, inner))
    if origin is dict:
        return st.dictionaries(of_type(inner[0]), of_type(inner[1]), max_size=2)
    return structs(kind)


def structs(kind: type[msgspec.Struct]) -> st.SearchStrategy[Any]:
    """Any value of a struct. Its schema number is today's: another would be another shape."""
    fields = {name: t for name, t in get_type_hints(kind).items() if not name.startswith("__")}
    fields.pop("schema", None)
    # Deferred: plans hold steps, which hold windows, which hold rules.
    return st.deferred(lambda: st.builds(kind, **{n: of_type(t) for n, t in fields.items()}))


# Plans ----------------------------------------------------------------------------------------

RULES = (
    Rule(),
    Rule(family="arrhenius", ref_c=20.0),
    Rule(family="arrhenius", ref_c=21.0, label_mass_g=100.0, mass_g=180.0),
    Rule(family="waterborne", ref_c=20.0, lowest_c=10.0),
    Rule(family="evaporation", ref_c=20.0),
    Rule(family="evaporation", carrier="water", lowest_c=8.0, spread=3.0),
    Rule(family="moisture cure", ref_c=20.0, ref_humidity_pct=55.0),
)
CONSEQUENCES = ("nothing", "extra work", "spoils mix", "spoils joint", "spoils coat")


@st.composite
def windows(draw: st.DrawFn, window: Window) -> Window:
    """The same window with other edges (some of them, in order), another rule and anchor."""
    spans = sorted(
        draw(
            st.lists(
                st.sampled_from((2 * MIN, 30 * MIN, 3 * HOUR, DAY, 4 * DAY)), min_size=3, max_size=3
            )
        )
    )
    opens, full, closes = draw(st.tuples(st.booleans(), st.booleans(), st.booleans()))
    return msgspec.structs.replace(
        window,
        opens_s=spans[0] if opens else None,
        full_s=spans[1] if full else None,
        closes_s=spans[2] if closes else None,
        hold_s=draw(st.sampled_from((None, None, None, HOUR, 2 * DAY))),
        anchor=draw(st.sampled_from(("done", "done", "begun"))),
        rule=draw(st.sampled_from(RULES)),
        missed=draw(st.sampled_from(CONSEQUENCES)),
    )


@st.composite
def airs(draw: st.DrawFn, from_s: float) -> AirLog:
    """Readings of some days around an instant, hours apart or minutes."""
    gaps = draw(st.lists(st.sampled_from((10 * MIN, 3 * HOUR, DAY, 5 * DAY)), max_size=8))
    at, out = from_s - draw(st.sampled_from((0.0, HOUR, 3 * DAY))), []
    for gap in gaps:
        damp = draw(st.none() | st.floats(5.0, 100.0))
        out.append(Reading(at, draw(st.floats(-15.0, 45.0)), damp))
        at += gap
    return AirLog(out)


@st.composite
def plans(draw: st.DrawFn) -> Plan:
    """The tests' plan, its clocks changed: two pieces from one cup, cured, glued, clamped."""
    base = plan()
    steps: list[Step] = []
    for step in base.steps:
        clocks = tuple(draw(windows(w)) for w in step.windows)
        full = draw(st.booleans())
        steps.append(
            msgspec.structs.replace(
                step,
                windows=clocks,
                waits=() if full else step.waits,
                waits_full=step.waits if full else (),
                minimum_c=draw(st.sampled_from((None, None, 10.0))),
            )
        )
    return msgspec.structs.replace(base, steps=tuple(steps))


# Moves ----------------------------------------------------------------------------------------

Move = tuple[str, float, float, float]
"""What is tried, two numbers in [0, 1) that pick its object and its manner, seconds before it."""

WAITS = (0.0, 0.0, 0.5, 20.0, 20.0, 5 * MIN, 40 * MIN, 7 * HOUR, 30 * HOUR, 9 * DAY)


def moves(*names: str, least: int = 1, most: int = 40) -> st.SearchStrategy[list[Move]]:
    """What a maker tries one after the other. The first name is the likeliest one.

    From a seed and a length: that reaches further than numbers drawn one by one, and a failing
    run is still shortened to the move that broke it.
    """
    weighted = [*names, *names[:1] * len(names)]

    def made(seed: int, length: int) -> list[Move]:
        chance = random.Random(seed)
        return [
            (chance.choice(weighted), chance.random(), chance.random(), chance.choice(WAITS))
            for _ in range(length)
        ]

    return st.builds(made, st.integers(0, 2**32), st.integers(least, most))
