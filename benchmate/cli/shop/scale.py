"""`benchmate scale`: what a scale can tell, whether it has moved, and when a verdict is given."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import click

from benchmate.bench import Bench
from benchmate.bench.weights.scales import check_said, describe_scale, set_rules, standing_caution
from benchmate.cli.opening import fail, json_option, say_json, the_bench
from benchmate.cli.saying import put
from benchmate.job.deciding.streams.commands import DescribeScale
from benchmate.job.events import stored as ev
from benchmate.job.state.shop import ScaleRecord
from benchmate.localtime import show_when
from benchmate.quantities import parse_mass_g, parse_percent, show_mass, show_percent


@click.command()
@click.argument("name", required=False, default="")
@click.option("--division", help='Its division: "1 g", "0.1 g".')
@click.option("--repeatability", help="Standard deviation of repeated readings.")
@click.option("--readings", type=int, help="From how many readings that was found.")
@click.option("--linearity", help="The maker's ± figure for linearity.")
@click.option("--capacity", help="The most it weighs.")
@click.option("--known", metavar="WEIGHT", help="Check: the known weight put on.")
@click.option(
    "--read",
    "reading",
    metavar="WEIGHT",
    help='Check: what the scale read; several: "500.1; 500.2".',
)
@click.option(
    "--class",
    "accuracy",
    metavar="CLASS",
    help="I, II, III or IIII from its plate: how far off it may be, in place of --linearity.",
)
@click.option("--rules", is_flag=True, help="Show from when on a verdict is given, or set it.")
@click.option("--inside", metavar="PERCENT", help="With --rules: sure enough to be called good.")
@click.option("--outside", metavar="PERCENT", help="With --rules: good only so likely is off.")
@click.option("--near", metavar="PERCENT", help="With --rules: just inside, of the tolerance.")
@click.option("--port", default="", help="With the name listen: where the cable ends.")
@click.option("--speed", type=int, help="With the name listen: its speed; 9600 if not set.")
@json_option
@click.pass_obj
def scale(
    home: Path | None,
    name: str,
    division: str | None,
    repeatability: str | None,
    readings: int | None,
    linearity: str | None,
    capacity: str | None,
    known: str | None,
    reading: str | None,
    accuracy: str | None,
    rules: bool,
    inside: str | None,
    outside: str | None,
    near: str | None,
    port: str,
    speed: int | None,
    as_json: bool,
) -> None:
    """Describe a scale, or check it with a known weight; without options, list them.

    Described once, it tells every later weighing how sure it is. --rules sets when a verdict
    is given, for all weighings from then on. The name listen shows what a scale on a cable
    sends, and proposes how to read it.
    """
    if name == "listen":
        from benchmate.cli.shop.scale_listen import listen

        listen(home, port, speed)
        return
    if bool(known) != bool(reading):
        fail("A check needs both: --known, the weight put on, and --read, what the scale showed.")
    with the_bench(home) as bench:
        if division:
            wanted = _described(name, division, repeatability, readings, linearity, capacity)
            if accuracy:
                wanted = _by_class(wanted, accuracy.upper())
            described = describe_scale(bench, wanted)
            put(f"{described.name} {_data(described)}.")
        elif known and reading:
            _check(bench, name, known, reading)
        elif rules or inside or outside or near:
            _rules(bench, inside, outside, near, as_json=as_json)
        else:
            _list(bench, name, as_json=as_json)


def _described(
    name: str,
    division: str,
    repeatability: str | None,
    readings: int | None,
    linearity: str | None,
    capacity: str | None,
) -> DescribeScale:
    def grams(text: str | None) -> float | None:
        return None if text is None else parse_mass_g(text, "g")

    return DescribeScale(
        name=name or "scale",
        division_g=parse_mass_g(division, "g"),
        repeatability_g=grams(repeatability),
        repeatability_n=readings,
        linearity_g=grams(linearity),
        capacity_g=grams(capacity),
    )


def _by_class(scale: DescribeScale, accuracy: str) -> DescribeScale:
    """The bound on its error that its accuracy class gives, in service and at its largest load.

    The division stands for the verification interval: on a shop scale the two are one.
    """
    from benchmate.reckon.asking.frame import Refused as NotReckoned
    from benchmate.reckon.weight.scale_class import permissible

    if scale.linearity_g is not None:
        fail("Give --class or --linearity: each says how far the scale may be off.")
    if scale.capacity_g is None:
        fail("How far a class may be off goes by the load: give --capacity too, from its plate.")
    try:
        bound = permissible(accuracy, scale.division_g, scale.capacity_g)
    except NotReckoned as error:
        fail(str(error))
    return replace(scale, linearity_g=bound.in_service_g)


def _data(it: ev.ScaleDescribed) -> str:
    """What is known of a scale: "reads to 0.1 g, repeats to 0.1 g, ± 0.2 g linear"."""
    parts = [f"reads to {show_mass(it.division_g)}"]
    if it.repeatability_g is not None:
        n = f" ({it.repeatability_n} readings)" if it.repeatability_n else ""
        parts.append(f"repeats to {show_mass(it.repeatability_g)}{n}")
    if it.linearity_g is not None:
        parts.append(f"± {show_mass(it.linearity_g)} linear")
    if it.capacity_g is not None:
        parts.append(f"up to {show_mass(it.capacity_g)}")
    return ", ".join(parts)


def _check(bench: Bench, name: str, known: str, reading: str) -> None:
    """Compare with a known weight; a scale that has moved, or drifts, is cautioned."""
    nominal = parse_mass_g(known, "g")
    if not reading.strip("; "):
        fail("Give what the scale read, for instance --read 500.1g.")
    if nominal <= 0.0:
        fail("A known weight is more than nothing, for instance --known 500g.")
    put(check_said(bench, name, nominal, reading))


def _rules(
    bench: Bench, inside: str | None, outside: str | None, near: str | None, *, as_json: bool
) -> None:
    def share(text: str | None) -> float | None:
        return None if text is None else parse_percent(text, "%") / 100.0

    now = bench.now()
    if inside or outside or near:
        set_rules(
            bench, inside_p=share(inside), outside_p=share(outside), near_fraction=share(near)
        )
    held = bench.shop.rules or ev.VerdictRules(happened=now, recorded=now)
    if as_json:
        say_json(
            {
                "inside_p": held.inside_p,
                "outside_p": held.outside_p,
                "near_fraction": held.near_fraction,
            }
        )
        return
    good, off, edge = _pct(held.inside_p), _pct(held.outside_p), _pct(held.near_fraction)
    put(
        f"Good: inside the tolerance with {good} or more, so that at the limit itself at "
        f"most {_pct(1.0 - held.inside_p)} of such calls are wrong."
    )
    put(f"Off: inside with {off} or less. In between it is too close to call.")
    put(
        f"Just inside: beyond {edge} of the tolerance, where one more slip of that size "
        "loses the piece."
    )


def _pct(share: float) -> str:
    return show_percent(share * 100.0)


def _list(bench: Bench, name: str, *, as_json: bool) -> None:
    found = [r for n, r in bench.shop.scales.items() if not name or n == name]
    if as_json:
        say_json([_as_data(bench, record) for record in found])
        return
    for record in found:
        put(f"{record.described.name}  {_data(record.described)}{_checked(bench, record)}")
        if caution := standing_caution(bench, record.described.name):
            put(f"  Caution: {caution}")
    if not found:
        put("No scale is described. benchmate scale kitchen --division 1g")


def _checked(bench: Bench, record: ScaleRecord) -> str:
    if record.checked is None:
        return ", never checked with a known weight"
    when = show_when(record.checked.happened.wall_s, bench.now().wall_s)
    off = show_mass(record.checked.reading_g - record.checked.nominal_g, sign=True)
    return f", checked {when}: {off} at {show_mass(record.checked.nominal_g)}"


def _as_data(bench: Bench, record: ScaleRecord) -> dict[str, object]:
    it, checked = record.described, record.checked
    return {
        "name": it.name,
        "division_g": it.division_g,
        "repeatability_g": it.repeatability_g,
        "repeatability_n": it.repeatability_n,
        "linearity_g": it.linearity_g,
        "capacity_g": it.capacity_g,
        "checked": None
        if checked is None
        else {
            "at": checked.happened.wall_s,
            "nominal_g": checked.nominal_g,
            "reading_g": checked.reading_g,
        },
        "caution": standing_caution(bench, it.name),
    }
