"""`benchmate calc heat`: how warm a mix gets in its cup and in its voids, before it is mixed."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from benchmate.bench.air.recording import bare_unit
from benchmate.bench.shelf.heat import HeatAnswer, heat_of, mix_step, question_of
from benchmate.cli.opening import fail, job_option, json_option, pick_job, say_json, the_bench
from benchmate.cli.saying import put
from benchmate.quantities import (
    parse_temperature_c,
    show_duration,
    show_mass,
    show_temperature,
)
from benchmate.quantities.show import Units
from benchmate.quantities.worded import in_units

if TYPE_CHECKING:
    from benchmate.reckon.heat.heat import Course


@click.command()
@click.argument("address", required=False, default="")
@job_option
@click.option("--start", metavar="TEMP", help="Start at this temperature, not at the shop's.")
@json_option
@click.pass_obj
def heat(
    home: Path | None, address: str, job: str | None, start: str | None, as_json: bool
) -> None:
    """How warm the next mix (or the one at ADDRESS) gets, in the cup and in the void.

    A rough estimate from the label's pot life: see the maker's data sheet, and never leave a mix
    standing in its cup.
    """
    with the_bench(home, write=False) as bench:
        state = pick_job(bench, job, address)
        step = mix_step(state, address)
        bare = bare_unit(bench.settings.units)
        start_c = parse_temperature_c(start, bare) if start else None
        question = question_of(bench, state, step, start_c)
        if question is None:
            fail(f"{step.address} mixes nothing that heats up.")
        answer = heat_of(question)
        if as_json:
            say_json(data_of(answer))
            return
        for line in lines_of(answer, bench.settings.units):
            put(line)


def lines_of(answer: HeatAnswer, units: Units = "metric") -> Iterator[str]:
    """The answer in lines: the cup, each void, what is to be minded, what would help."""
    from benchmate.reckon.heat.pour_heat import range_of

    asked, cup = answer.question, answer.question.cup
    degrees = show_temperature(cup.start_c, units)
    of_material = f" of {asked.material}" if asked.material else ""
    yield f"{asked.label}: {show_mass(cup.mass_g, units)}{of_material}, begun at {degrees}"
    peak = in_units(range_of(answer.cup.course.peak_c, answer.cup.lively_c), units)
    after = show_duration(answer.cup.course.peak_time_min * 60.0)
    yield f"  left in the cup   {peak}, after {after}"
    for whose, found in answer.voids:
        adiabatic = show_temperature(round(found.void_adiabatic_c), units)
        yield (
            f"  {whose:<16}  {_peak(found.void, units)} on the warm side; {adiabatic} if no heat"
            " got out at all"
        )
    life = show_duration(cup.pot_life_min * 60.0)
    at = f"{show_temperature(cup.label_c, units)} for {show_mass(cup.label_mass_g, units)}"
    by = "common practice is" if asked.is_rough else "the label says"
    pourable = show_duration(answer.pourable_min * 60.0)
    yield f"  stays pourable    about {pourable} in the cup; {by} {life} at {at}"
    for caution in answer.cautions:
        yield f"! {in_units(caution, units)}"
    for advice in answer.advice:
        yield f"  {in_units(advice, units)}"
    for rough in (*asked.assumed, *answer.cup.rough):
        yield f"  assumed: {in_units(rough, units)}"
    yield "  Rough figures: go by the maker's sheet and a small test."


def _peak(course: Course, units: Units) -> str:
    peak = show_temperature(round(course.peak_c), units)
    return f"about {peak} after {show_duration(course.peak_time_min * 60.0)}"


def data_of(answer: HeatAnswer) -> dict[str, Any]:
    """The answer as data for other programs."""
    asked = answer.question
    return {
        "mix": asked.address,
        "mass_g": asked.cup.mass_g,
        "start_c": asked.cup.start_c,
        "cup": {**_course(answer.cup.course), "lively_peak_c": answer.cup.lively_c},
        "pourable_min": answer.pourable_min,
        "voids": [
            {"piece": whose, "adiabatic_c": v.void_adiabatic_c, **_course(v.void)}
            for whose, v in answer.voids
        ],
        "cautions": list(answer.cautions),
        "advice": list(answer.advice),
        "assumed": [*asked.assumed, *answer.cup.rough],
    }


def _course(course: Course) -> dict[str, float]:
    return {"peak_c": course.peak_c, "peak_time_min": course.peak_time_min}
