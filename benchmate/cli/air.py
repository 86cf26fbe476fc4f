"""`benchmate air`: record the air, or show its log and what it does to today's windows."""

from __future__ import annotations

from pathlib import Path

import click

from benchmate.bench import Bench
from benchmate.bench.airing import moved_edges, record_air
from benchmate.bench.sayings import clock_of
from benchmate.cli.opening import at_option, json_option, moment_from, say_json, the_bench
from benchmate.job.airnow import UNKNOWN_AIR, air_now
from benchmate.job.windows import SHOP
from benchmate.localtime import show_stamp
from benchmate.quantities import parse_percent, parse_temperature_c, show_temperature


@click.command()
@click.argument("temperature", required=False, default="")
@click.option("--rh", help="Relative humidity, for instance 62.")
@click.option("--place", default=SHOP, show_default=True, help="Whose air it is: shop, box …")
@at_option
@json_option
@click.pass_obj
def air(
    home: Path | None, temperature: str, rh: str | None, place: str, at: str | None, as_json: bool
) -> None:
    """Record TEMPERATURE ("17.5C", "64 F"); without it, show the log."""
    with the_bench(home) as bench:
        if not temperature:
            _show(bench, place, as_json)
            return
        celsius = parse_temperature_c(temperature, "°C")
        damp = parse_percent(rh, "%") if rh else None
        for said in record_air(bench, place, celsius, damp, at=moment_from(bench, at)):
            click.echo(said)


def _show(bench: Bench, place: str, as_json: bool) -> None:
    log = bench.shop.air_of(place)
    wall = bench.wall_at
    if as_json:
        say_json([{"at": wall(r.t_s), "temperature_c": r.temperature_c,
                   "humidity_pct": r.humidity_pct} for r in log.readings])  # fmt: skip
        return
    now = air_now(log, bench.now_s(), bench.settings.units)
    click.echo(now.text if now else UNKNOWN_AIR)
    for r in log.readings[-12:]:
        damp = "" if r.humidity_pct is None else f"  {r.humidity_pct:g} %"
        degrees = show_temperature(r.temperature_c, bench.settings.units)
        click.echo(f"  {show_stamp(wall(r.t_s))}  {degrees}{damp}")
    if len(log.readings) > 2:
        click.echo(_plot(bench, place))
    for said in moved_edges(bench, bench.agenda().windows, clock_of(bench)):
        click.echo(said)


def _plot(bench: Bench, place: str) -> str:
    """The log as a curve; the plotting library is loaded only here."""
    import plotext

    readings = bench.shop.air_of(place).readings[-200:]
    now = bench.now_s()
    hours = [(r.t_s - now) / 3600 for r in readings]
    figure = plotext.figure
    figure.clear()
    figure.theme("colorless")
    figure.plot_size(76, 14)
    figure.draw(figure.signal(hours, [r.temperature_c for r in readings], marker=".").lines())
    text: str = figure.build().string(colorless=True)
    return "\n".join(line.rstrip() for line in text.splitlines()) + "\n  °C over hours from now"
