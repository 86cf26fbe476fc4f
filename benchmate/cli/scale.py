"""`benchmate scale`: what a scale can tell."""

from __future__ import annotations

from pathlib import Path

import click

from benchmate.cli.opening import fail, json_option, say_json, the_bench
from benchmate.job import events as ev
from benchmate.job.shop import SCALES
from benchmate.quantities import parse_mass_g, show_mass


@click.command()
@click.argument("name", required=False, default="")
@click.option("--division", help='Its division: "1 g", "0.1 g".')
@click.option("--repeatability", help="Standard deviation of repeated readings.")
@click.option("--readings", type=int, help="From how many readings that was found.")
@click.option("--linearity", help="The maker's ± figure for linearity.")
@click.option("--capacity", help="The most it weighs.")
@click.option("--known", metavar="WEIGHT", help="Check: the known weight put on.")
@click.option("--read", "reading", metavar="WEIGHT", help="Check: what the scale read.")
@json_option
@click.pass_obj
def scale(
    home: Path | None, name: str, division: str | None, repeatability: str | None,
    readings: int | None, linearity: str | None, capacity: str | None, known: str | None,
    reading: str | None, as_json: bool,
) -> None:  # fmt: skip
    """Describe a scale, or check it with a known weight; without options, list them."""

    def grams(text: str | None) -> float | None:
        return None if text is None else parse_mass_g(text, "g")

    with the_bench(home) as bench:
        now = bench.now()
        if division:
            value = parse_mass_g(division, "g")
            if value <= 0:
                fail("A division is more than nothing, for instance 1 g.")
            bench.record((SCALES, ev.ScaleDescribed(
                happened=now, recorded=now, name=name or "scale", division_g=value,
                repeatability_g=grams(repeatability), repeatability_n=readings,
                linearity_g=grams(linearity), capacity_g=grams(capacity))))  # fmt: skip
            click.echo(f"{name or 'scale'} reads to {show_mass(value, bench.settings.units)}.")
        elif known and reading:
            if name not in bench.shop.scales:
                fail(f"Describe the scale first: benchmate scale {name or 'NAME'} --division 1g")
            nominal, read = parse_mass_g(known, "g"), parse_mass_g(reading, "g")
            checked = ev.ScaleChecked(
                happened=now, recorded=now, name=name, nominal_g=nominal, reading_g=read
            )
            bench.record((SCALES, checked))
            click.echo(f"{name} is out by {show_mass(read - nominal, sign=True)}.")
        else:
            found = [r for n, r in bench.shop.scales.items() if not name or n == name]
            if as_json:
                say_json([{"name": r.described.name, "division_g": r.described.division_g}
                          for r in found])  # fmt: skip
                return
            for r in found:
                click.echo(f"{r.described.name}  division {show_mass(r.described.division_g)}")
            if not found:
                click.echo("No scale is described. benchmate scale kitchen --division 1g")
