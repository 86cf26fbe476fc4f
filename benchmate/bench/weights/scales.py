"""The shop's scales: described once, checked with a known weight, chosen by what they show."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import NamedTuple

import msgspec

from benchmate.bench.service import Bench
from benchmate.job.deciding.streams import commands as cmd
from benchmate.job.events import stored as ev
from benchmate.job.state.shop import ScaleRecord
from benchmate.job.state.state import JobState
from benchmate.job.weights.courses import scale_of as scale_for
from benchmate.job.weights.verdicts import blind_spots
from benchmate.landing.checkweight import ScaleCheck, check_weight, drifted
from benchmate.landing.words import places_for, say_in
from benchmate.plan.plan import Plan
from benchmate.quantities import TypedReading, Units, parse_mass_g, show_mass
from benchmate.reckon.weight.weighing import Scale, combine, net_terms
from benchmate.refusal import Refused
from benchmate.settings.model import ScaleDefaults, Settings


def scales_of(bench: Bench) -> dict[str, ev.ScaleDescribed]:
    """The scales as described. Where none is, the one that the settings describe, if they do."""
    found = {name: record.described for name, record in bench.shop.scales.items()}
    wanted = _from_settings(bench) if not found else None
    return found if wanted is None else {wanted.name: wanted}


def _from_settings(bench: Bench) -> ev.ScaleDescribed | None:
    wanted, now = bench.settings.scale, bench.now()
    if msgspec.structs.replace(wanted, check=True) == ScaleDefaults():
        return None
    return ev.ScaleDescribed(
        happened=now, recorded=now, name=wanted.name, division_g=parse_mass_g(wanted.division)
    )


def begin_with_settings(bench: Bench) -> None:
    """Write what the settings say of scale and verdicts into a journal that says nothing yet.

    What changes a verdict is an event: a setting changed later changes no old verdict.
    """
    if bench.shop.scales and bench.shop.rules is not None:
        return
    wanted, near = _from_settings(bench), bench.settings.near_fraction
    bench.settle(
        cmd.BeginScales(
            name=wanted.name if wanted else "",
            division_g=wanted.division_g if wanted else None,
            near_fraction=None if near == Settings().near_fraction else near,
        )
    )


def scale_of(
    bench: Bench, name: str = "", reading: TypedReading | None = None
) -> tuple[str, float | None]:
    """The scale meant and its division: the named one, the only one, or with several the only one
    that shows such digits. No name where that can't be told. Raises Refused for a wrong name."""
    scales = scales_of(bench)
    if name and name not in scales:
        known = ", ".join(scales) or "none is described yet"
        raise Refused(f"There is no scale “{name[:30]}”; known: {known}.")
    if not name and len(scales) == 1:
        name = next(iter(scales))
    elif not name and reading is not None:
        fits = [n for n, s in scales.items() if _shows(s.division_g, reading)]
        name = fits[0] if len(fits) == 1 else ""
    return (name, scales[name].division_g) if name else ("", None)


def _shows(division_g: float, reading: TypedReading) -> bool:
    """Whether a display of that division can read so: as many digits, and a whole step."""
    steps = reading.value_g / division_g
    same_digits = reading.division_g is not None and (
        places_for(reading.division_g) == places_for(division_g)
    )
    return same_digits and abs(steps - round(steps)) < 1e-6


@dataclass(frozen=True)
class Known:
    """What a scale knows of a net weight."""

    name: str
    scale: Scale
    u_g: float
    dof: float


def knows(
    bench: Bench, name: str, gross: Sequence[TypedReading], tare: Sequence[TypedReading] = ()
) -> Known:
    """The doubt of a net weight, by the scale as described, or by the digits that were read.

    A scale set to zero counts as one tare reading: zero is rounded like any other.
    """
    name, _ = scale_of(bench, name, gross[0])
    described = scales_of(bench).get(name)
    division = gross[0].division_g or parse_mass_g(bench.settings.scale.division)
    scale = scale_for(described, division)
    budget = combine(net_terms(scale, len(gross), max(1, len(tare))))
    return Known(name, scale, budget.u, budget.dof)


def describe_scale(bench: Bench, described: cmd.DescribeScale) -> ev.ScaleDescribed:
    """Take down what a scale can do, in place of what this bench knew of it; what holds now.

    Raises Refused where another bench has described it otherwise meanwhile.
    """
    record = bench.shop.scales.get(described.name)
    bench.settle(replace(described, before=record.described if record else None))
    return bench.shop.scales[described.name].described


def check_scale(bench: Bench, name: str, nominal_g: float, readings: Sequence[float]) -> ScaleCheck:
    """Record what a scale reads of a known weight, and say whether it may be trusted."""
    if not name and len(bench.shop.scales) == 1:
        name = next(iter(bench.shop.scales))
    known = bench.shop.scales.get(name)
    bench.settle(
        cmd.CheckScale(name=name, nominal_g=nominal_g, reading_g=sum(readings) / len(readings))
    )
    return check_of(bench, known or bench.shop.scales[name], nominal_g, readings)


def check_of(
    bench: Bench, record: ScaleRecord, nominal_g: float, readings: Sequence[float]
) -> ScaleCheck:
    """What a check says, against the weight itself and against the record's check before it."""
    last = record.checked
    last_g = last.reading_g if last is not None and last.nominal_g == nominal_g else None
    scale = scale_for(record.described, None)
    return check_weight(scale, nominal_g, readings, last_g, say=say_in(bench.settings.units))


def standing_caution(bench: Bench, name: str) -> str:
    """What the scale's checks caution of, the last one or all together; empty where they are sound,
    or none was made."""
    record = bench.shop.scales.get(name)
    if record is None or record.checked is None:
        return ""
    last, say = record.checked, say_in(bench.settings.units)
    scale = scale_for(record.described, None)
    alike = [c.reading_g for c in record.checks if c.nominal_g == last.nominal_g]
    caution = check_weight(scale, last.nominal_g, last.reading_g, say=say).caution
    return caution or drifted(scale, last.nominal_g, alike, say)


class CheckDue(NamedTuple):
    """The scale to check before a job's first weighing, by the known weight that was put on it
    last; None: which one is at hand is asked too."""

    name: str
    nominal_g: float | None


def check_due(bench: Bench, state: JobState) -> CheckDue | None:
    """The check to make before a job's first weighing: of the scale that was checked last, or else
    of the one that the maker described last.

    None once the job has a weight or the scale was checked since it started, where the setting
    `scale.check` says no, and where nobody has described a scale.
    """
    records, line = bench.shop.scales.values(), bench.shop.timeline
    checks = [c for record in records for c in record.checks]
    if state.weighings or not bench.settings.scale.check:
        return None
    if not checks:
        known = [r.described for r in records if _is_described(bench, r.described)]
        last = max(known, key=lambda scale: line.at(scale.happened), default=None)
        return None if last is None else CheckDue(last.name, None)
    check = max(checks, key=lambda check: line.at(check.happened))
    is_done = line.at(check.happened) >= line.at(state.started)
    return None if is_done else CheckDue(check.name, check.nominal_g)


def _is_described(bench: Bench, scale: ev.ScaleDescribed) -> bool:
    """Whether more is known of it than what the settings begin with."""
    more = (scale.repeatability_g, scale.linearity_g, scale.capacity_g)
    return scale.name != bench.settings.scale.name or any(one is not None for one in more)


def check_asked(due: CheckDue, units: Units) -> str:
    """The question, by the weight that is known or for one that is at hand."""
    if due.nominal_g is None:
        what = "which known weight have you, and what does it show? (500 g = 500.1 g)"
    else:
        what = f"what does it show of the {show_mass(due.nominal_g, units)}?"
    return f"First the scale: {what} Enter alone: weigh without it."


def check_said(bench: Bench, name: str, nominal_g: float | None, text: str) -> str:
    """Record what a scale shows of a known weight, as typed ("500.1; 500.2", with "500 g = " before
    it where that isn't known); what is said of it.

    Nothing typed skips it. Raises QuantityError, or Refused where the scale isn't described.
    """
    if nominal_g is None and text.strip():
        weight, equals, text = text.partition("=")
        if not equals:
            raise Refused("Write the weight and what the scale shows of it: 500 g = 500.1 g")
        nominal_g = parse_mass_g(weight, "g")
    readings = [parse_mass_g(part, "g") for part in text.split(";") if part.strip()]
    if not readings or nominal_g is None:
        return "The scale was not checked."
    found, say = check_scale(bench, name, nominal_g, readings), say_in(bench.settings.units)
    if not name and len(bench.shop.scales) == 1:
        name = next(iter(bench.shop.scales))
    if caution := found.caution or standing_caution(bench, name):
        return f"Caution: {caution}"
    out, limit = say(found.error_g, 0.1), say(found.limit_g, 0.1)
    return f"Out by {out}, where up to {limit} was to be expected: sound."


def set_rules(
    bench: Bench,
    *,
    inside_p: float | None = None,
    outside_p: float | None = None,
    near_fraction: float | None = None,
) -> None:
    """From which probabilities on a verdict is given, from now on; what isn't given stays."""
    bench.settle(cmd.SetRules(inside_p=inside_p, outside_p=outside_p, near_fraction=near_fraction))


def blind_spots_of(bench: Bench, plan: Plan) -> tuple[str, ...]:
    """What no scale in the shop can see of a plan; said once, when a job is started."""
    division = parse_mass_g(bench.settings.scale.division)
    say = say_in(bench.settings.units)
    return tuple(blind_spots(plan, scales_of(bench), division, bench.shop.rules, say))
