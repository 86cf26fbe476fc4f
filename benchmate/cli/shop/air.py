"""`benchmate air`: record the air, or show its log and what it does to today's clocks."""

from __future__ import annotations

import shlex
from collections.abc import Iterable
from pathlib import Path
from typing import NoReturn

import click

from benchmate.air.latest import UNKNOWN_AIR, air_now
from benchmate.air.slips import DoubtfulAir
from benchmate.bench import Bench
from benchmate.bench.air.recording import (
    bare_unit,
    correct_air,
    edge_data,
    moved_edges,
    record_air,
    take_back_air,
)
from benchmate.bench.next_line import clock_of
from benchmate.cli.opening import at_option, fail, json_option, moment_from, say_json, the_bench
from benchmate.cli.saying import put
from benchmate.cli.shop.whatif import Supposing, show_what_if
from benchmate.job.windows.windows import SHOP
from benchmate.localtime import show_stamp
from benchmate.quantities import parse_percent, parse_temperature_c, show_temperature

SHOWN, PLOTTED = 12, 200
"""So many of the last readings are listed, and drawn as a curve."""
LAST = "last"
"""The reading that was typed last."""
PLOTTED_FROM_S = 1800.0
"""Readings closer together than this in all are no course to draw."""


@click.command(
    epilog="What if: --if or --if-night-off, and --if-start with either or alone. Nothing of it is "
    "recorded."
)
@click.argument("temperature", required=False, default="")
@click.option("--rh", help="Relative humidity, for instance 62.")
@click.option("--place", default=SHOP, show_default=True, help="Which place: shop, box …")
@at_option
@click.option(
    "--if",
    "held",
    metavar="AIR",
    default="",
    help='What if the pieces were in other air: "box 25C", "25C 40%", or a place that was read.',
)
@click.option(
    "--if-night-off",
    "night_off",
    metavar="CURVE",
    default="",
    help='What if the heating is off at night: day, night and hours, "19C 8C 22-6".',
)
@click.option(
    "--if-start",
    "start",
    metavar="WHEN",
    default="",
    help='What if the next step with a clock were started "tonight" (20:00), "tomorrow" (9:00), '
    '"18:00", "Sat 9:00" or "in 3 h".',
)
@click.option("--step", default="", help="Which step --if-start is about.")
@click.option(
    "--keep", "stands", is_flag=True, help="It is right: record it though it is asked about."
)
@click.option(
    "--correct",
    metavar="ENTRY",
    is_flag=False,
    flag_value=LAST,
    help="Put a reading right, by its number or the last one typed; the old one is kept.",
)
@click.option(
    "--undo",
    metavar="ENTRY",
    is_flag=False,
    flag_value=LAST,
    help="Undo a reading, by its number or the last one typed.",
)
@json_option
@click.pass_obj
def air(
    home: Path | None,
    temperature: str,
    rh: str | None,
    place: str,
    at: str | None,
    held: str,
    night_off: str,
    start: str,
    step: str,
    stands: bool,
    correct: str | None,
    undo: str | None,
    as_json: bool,
) -> None:
    """Record TEMPERATURE ("17.5C", "64 F"); without it, show the log, or what would be if.

    A bare number is in °C, with units = "inch" in °F. A reading that looks like a slip is asked
    about: add --keep if it is right.
    """
    supposing = Supposing(held, night_off, start, step)
    if temperature and supposing:
        fail("Either record a temperature or ask what if: a supposition is never recorded.")
    if correct is not None and not temperature and not _is_entry(correct):
        temperature, correct = correct, LAST  # "--correct 17.5C" means the last reading
    instead, takeback = correct is not None, undo is not None
    entry = _entry(correct if undo is None else undo)
    _check_words(temperature, at, instead=instead, takeback=takeback)
    if takeback:
        with the_bench(home) as bench:
            _say(take_back_air(bench, place, entry))
        return
    if not temperature:
        with the_bench(home, write=False) as bench:
            if supposing:
                show_what_if(bench, supposing, as_json=as_json)
            else:
                _show(bench, place, as_json=as_json)
        return
    with the_bench(home) as bench:
        celsius = parse_temperature_c(temperature, bare_unit(bench.settings.units))
        damp = parse_percent(rh, "%") if rh else None
        try:
            if instead:
                _say(correct_air(bench, place, celsius, damp, number=entry, stands=stands))
            else:
                when = moment_from(bench, at)
                _say(record_air(bench, place, celsius, damp, at=when, stands=stands))
        except DoubtfulAir as asked:
            _ask(bench, asked, place, at, instead=instead, entry=entry)


def _is_entry(text: str) -> bool:
    return text == LAST or text.isdecimal()


def _entry(text: str | None) -> int | None:
    """An entry's number; None for the last one. Ends the command for another text."""
    if text is None or text == LAST:
        return None
    if not text.isdecimal():
        fail(f"An entry is a number in the list of `benchmate air`, not “{text[:40]}”.")
    return int(text[:9])


def _check_words(temperature: str, at: str | None, *, instead: bool, takeback: bool) -> None:
    if takeback and (instead or temperature):
        fail("Either undo a reading, or put it right: 17.5C --correct.")
    if instead and not temperature:
        fail("Say what the air really was: 17.5C --correct.")
    if instead and at is not None:
        fail("A corrected reading keeps its time. To move it, undo it and type it again.")


def _ask(
    bench: Bench,
    asked: DoubtfulAir,
    place: str,
    at: str | None,
    *,
    instead: bool,
    entry: int | None,
) -> NoReturn:
    """End with the question, and the commands that answer it."""
    words = [] if place == SHOP else ["--place", place]
    words += ["--at", at] if at is not None else []
    words += ["--correct"] if instead else []
    words += [str(entry)] if instead and entry is not None else []
    lines, meant = [str(asked)], asked.doubt.meant
    if meant is not None:
        shown = show_temperature(meant.temperature_c, bench.settings.units)
        damp = [] if meant.humidity_pct is None else ["--rh", f"{meant.humidity_pct:g}"]
        typed = ["benchmate", "air", shown.replace(" °", ""), *damp, *words]
        lines.append(f"If that is what it was: {shlex.join(typed)}")
    if not asked.is_impossible:
        lines.append("If it is right as it is, add --keep.")
    fail("\n".join(lines))


def _say(sentences: Iterable[str]) -> None:
    for said in sentences:
        put(said)


def _show(bench: Bench, place: str, *, as_json: bool) -> None:
    log, wall = bench.shop.air_of(place), bench.wall_at
    views = bench.agenda().windows
    if as_json:
        readings = [
            {
                "entry": r.number,
                "at": wall(r.t_s),
                "temperature_c": r.temperature_c,
                "humidity_pct": r.humidity_pct,
                "doubtful": r.is_doubtful,
            }
            for r in log.readings
        ]
        windows = [edge_data(bench, v) for v in views]
        say_json(
            {
                "place": place,
                "age_s": log.age_s(bench.now_s()),
                "readings": readings,
                "windows": windows,
            }
        )
        return
    now = air_now(log, bench.now_s(), bench.settings.units)
    put(now.text if now else UNKNOWN_AIR)
    shown = log.readings[-SHOWN:]
    wide = max((len(str(r.number)) for r in shown), default=1)
    for r in shown:
        damp = "" if r.humidity_pct is None else f"  {r.humidity_pct:g} %"
        degrees = show_temperature(r.temperature_c, bench.settings.units)
        doubt = "  doubtful" if r.is_doubtful else ""
        put(f"  {r.number:>{wide}}  {show_stamp(wall(r.t_s))}  {degrees}{damp}{doubt}")
    if len(log.readings) > 2 and log.readings[-1].t_s - log.readings[0].t_s >= PLOTTED_FROM_S:
        put(_plot(bench, place))
    for said in moved_edges(views, clock_of(bench)):
        put(said)


def _plot(bench: Bench, place: str) -> str:
    """The log as a curve; the plotting library is loaded only here."""
    import plotext

    readings = bench.shop.air_of(place).readings[-PLOTTED:]
    now = bench.now_s()
    hours = [(r.t_s - now) / 3600 for r in readings]
    bare = bare_unit(bench.settings.units)
    scale, zero = (1.8, 32.0) if bare == "°F" else (1.0, 0.0)
    degrees = [r.temperature_c * scale + zero for r in readings]
    figure = plotext.figure
    figure.clear()
    figure.theme("colorless")
    figure.plot_size(76, 14)
    figure.draw(figure.signal(hours, degrees, marker=".").lines())
    text: str = figure.build().string(colorless=True)
    return (
        "\n".join(line.rstrip() for line in text.splitlines()) + f"\n  {bare} over hours from now"
    )
