"""`benchmate stores`: the tins on the shelf."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import click

from benchmate.bench import Bench
from benchmate.bench.shelf.shelf import (
    cautions_of,
    describe_tin,
    find_tin,
    gone_tins,
    tin_gone,
    with_label,
)
from benchmate.bench.shelf.tins import tins_of
from benchmate.bench.shelf.tins_for_job import today_of
from benchmate.cli.opening import fail, json_option, say_json, the_bench
from benchmate.cli.saying import put
from benchmate.nearest import did_you_mean
from benchmate.quantities.show import Units
from benchmate.stores import (
    COMMON_PRACTICE,
    FAMILIES,
    Tin,
    acts_of,
    clashes,
    filled,
    rough_edges,
)
from benchmate.stores.clocks import WORDS, edges_text
from benchmate.stores.questions import new_tin, shown
from benchmate.stores.stock import keeps_until, left_words, too_old
from benchmate.stores.tin import EDGES


@click.group(invoke_without_command=True)
@json_option
@click.pass_context
def stores(ctx: click.Context, as_json: bool) -> None:
    """The tins on the shelf. Without a word it lists them."""
    if ctx.invoked_subcommand is not None:
        return
    with the_bench(ctx.obj, write=True) as bench:
        tins, used = tins_of(bench), bench.shop.shelf.used
        if as_json:
            from benchmate.stores.data import as_data

            say_json([as_data(t, used.get(t.name, 0.0)) for t in tins.values()])
            return
        for tin in tins.values():
            put(_listed(bench, tin))
        if not tins:
            put("The shelf is empty. benchmate stores add NAME --family FAMILY")


def _listed(bench: Bench, tin: Tin) -> str:
    used, units = bench.shop.shelf.used.get(tin.name, 0.0), bench.settings.units
    opened = f"opened {tin.opened_on}" if tin.opened_on else ""
    old = "too old by its label" if too_old(tin, today_of(bench)) else ""
    acts = ", ".join(acts_of(tin)) or "no clocks"
    parts = (
        tin.name,
        filled(tin).kind or tin.family,
        acts,
        left_words(tin, used, units),
        opened,
        old,
    )
    return "  ".join(p for p in parts if p)


@stores.command()
@click.argument("name")
@click.option("--family", default="", help="Whose common practice fills in what is missing.")
@click.option(
    "--label",
    "labels",
    multiple=True,
    metavar="KEY=VALUE",
    help='What the label says: "open time=8 min at 20 °C", "amount=500 g"; '
    '"clamp time.full=24 h" names the edge.',
)
@click.pass_obj
def add(home: Path | None, name: str, family: str, labels: tuple[str, ...]) -> None:
    """Put a tin on the shelf, or type its label anew."""
    values: dict[str, str] = {}
    for label in labels:
        key, equals, value = label.partition("=")
        if not equals:
            fail(f"“{label[:40]}” is no KEY=VALUE.")
        values[key.strip()] = value.strip()
    with the_bench(home) as bench:
        if family and family not in FAMILIES:
            hint = did_you_mean(family, FAMILIES, "`benchmate stores families` lists them.")
            fail(f"There is no family “{family[:40]}”.{hint}")
        tin = tins_of(bench).get(name) or _again(bench, name, family) or _new(name, family)
        if family and tin.family != family:
            fail(
                f"{tin.name} is on the shelf as {tin.family or 'of no family'}. `benchmate stores "
                f"gone` takes it off; then it can be put there as {family}."
            )
        tin = with_label(tin, values)
        describe_tin(bench, tin)
        put(f"{tin.name} is on the shelf.")
        for text in clashes(tin):
            put(f"Caution: {text}")


def _again(bench: Bench, name: str, family: str) -> Tin | None:
    """A fresh tin of one that was used up, with the label that was typed then."""
    tin = gone_tins(bench).get(name)
    return tin if tin is not None and family in ("", tin.family) else None


def _new(name: str, family: str) -> Tin:
    if family:
        return new_tin(name, family)
    if name in FAMILIES:
        return new_tin(name, name)
    said = "Say --family; `benchmate stores families` lists them."
    return fail(f"Of which family is {name[:40]}? {said}")


@stores.command()
@click.argument("name")
@click.pass_obj
def gone(home: Path | None, name: str) -> None:
    """A tin is used up or thrown away. What it started runs on, and its history stays."""
    with the_bench(home) as bench:
        tin_gone(bench, name)
        put(f"{name} is off the shelf. What it started runs on, and the logbook keeps it.")


@stores.command()
@click.argument("name")
@json_option
@click.pass_obj
def show(home: Path | None, name: str, as_json: bool) -> None:
    """A tin's label, with what no label gave marked as common practice."""
    with the_bench(home) as bench:
        tin = find_tin(bench, name)
        used = bench.shop.shelf.used.get(tin.name, 0.0)
        if as_json:
            from benchmate.stores.data import as_data

            say_json(as_data(tin, used, on_shelf=tin.name in bench.shop.shelf.labels))
            return
        for text in _label(bench, tin, used):
            put(text)


def _label(bench: Bench, tin: Tin, used: float) -> Iterator[str]:
    full, units, until = filled(tin), bench.settings.units, keeps_until(tin)
    yield f"{tin.name}  ({tin.family or full.kind})"
    if left := left_words(tin, used, units):
        yield f"  {left}"
    if tin.opened_on:
        yield f"  opened {tin.opened_on}" + (f", keeps until {until}" if until else "")
    for window in full.windows:
        given = [e for e in EDGES if e not in rough_edges(window)]
        for edges, source in ((given, tin.source), (rough_edges(window), COMMON_PRACTICE)):
            if text := edges_text(window, edges, units):
                yield f"  {window.act}: {window.name} {text}  ({source})"
    yield from _values(tin, full, units)
    for text in (too_old(tin, today_of(bench)), *clashes(tin)):
        if text:
            yield f"  Caution: {text}"
    yield from (f"  {text}" for text in cautions_of(tin))


def _values(tin: Tin, full: Tin, units: Units) -> Iterator[str]:
    for key, word in WORDS.items():
        is_asked = key not in ("air", "carrier", "ratio_by")
        if is_asked and (text := shown(full, key, units)):
            source = COMMON_PRACTICE if key in full.rough else tin.source
            yield f"  {word} {text}  ({source})"


@stores.command()
def families() -> None:
    """The families: what common practice knows of."""
    for name, tin in FAMILIES.items():
        put(f"{name}  ({tin.kind})")
