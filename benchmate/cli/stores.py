"""`benchmate stores`: the tins on the shelf."""

from __future__ import annotations

from difflib import get_close_matches
from pathlib import Path

import click

from benchmate.bench.shelf import describe_tin, find_tin, tin_gone, with_label
from benchmate.bench.starting import tins_of
from benchmate.cli.opening import fail, json_option, say_json, the_bench
from benchmate.cli.saying import put
from benchmate.stores import FAMILIES, Tin, acts_of, filled


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
            say_json([{"name": t.name, "family": t.family, "acts": acts_of(t)}
                      for t in tins.values()])  # fmt: skip
            return
        for tin in tins.values():
            left = ""
            if tin.amount is not None:
                left = f"  {tin.amount - used.get(tin.name, 0.0):.0f} of {tin.amount:.0f} g left"
            put(f"{tin.name}  {tin.kind or tin.family}  {', '.join(acts_of(tin))}{left}")
        if not tins:
            put("The shelf is empty. benchmate stores add NAME --family FAMILY")


@stores.command()
@click.argument("name")
@click.option("--family", default="", help="Whose common practice fills in what is missing.")
@click.option("--label", "labels", multiple=True, metavar="KEY=VALUE",
              help='What the label says: "open time=8 min", "spread_g_m2=180".')  # fmt: skip
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
        old = tins_of(bench).get(name)
        tin = old or Tin(name=name, family=family, kind=filled(Tin(name=name, family=family)).kind)
        if family and family not in FAMILIES:
            near = get_close_matches(family, FAMILIES, n=1)
            hint = f"Did you mean {near[0]}?" if near else "`benchmate stores families` lists them."
            fail(f"There is no family “{family[:40]}”. {hint}")
        describe_tin(bench, with_label(tin, values))
        put(f"{name} is on the shelf.")


@stores.command()
@click.argument("name")
@click.pass_obj
def gone(home: Path | None, name: str) -> None:
    """A tin is used up or thrown away."""
    with the_bench(home) as bench:
        tin_gone(bench, name)
        put(f"{name} is off the shelf.")


@stores.command()
@click.argument("name")
@click.pass_obj
def show(home: Path | None, name: str) -> None:
    """A tin's label, with what no label gave marked as common practice."""
    from benchmate.quantities import show_duration

    with the_bench(home) as bench:
        tin = filled(find_tin(bench, name))
        put(f"{tin.name}  ({tin.family or tin.kind})")
        for w in tin.windows:
            times = (("opens", w.opens_s), ("full", w.full_s), ("closes", w.closes_s))
            edges = [f"{what} {show_duration(s)}" for what, s in times if s is not None]
            at = f" at {w.at_c:g} °C" if w.at_c is not None else ""
            put(f"  {w.act}: {w.name}: {', '.join(edges)}{at}"
                       + (f"  ({w.source})" if w.source else ""))  # fmt: skip


@stores.command()
def families() -> None:
    """The families: what common practice knows of."""
    for name, tin in FAMILIES.items():
        put(f"{name}  ({tin.kind})")
