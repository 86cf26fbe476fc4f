"""`benchmate shelf`: what is on the shelf, and what its labels say."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import click

from benchmate.bench import Bench
from benchmate.bench.shelf.materials import materials_of
from benchmate.bench.shelf.materials_for_job import USUAL, today_of
from benchmate.bench.shelf.own_waits import leave_waits, own_waits, take_waits
from benchmate.bench.shelf.shelf import (
    cautions_of,
    describe_material,
    find_material,
    gone_materials,
    material_gone,
    with_label,
)
from benchmate.cli.opening import fail, json_option, say_json, the_bench
from benchmate.cli.saying import put
from benchmate.cli.verbs import Verbs
from benchmate.nearest import did_you_mean
from benchmate.quantities.show import Units
from benchmate.shelf import (
    COMMON_PRACTICE,
    FAMILIES,
    Material,
    acts_of,
    clashes,
    filled,
    rough_edges,
)
from benchmate.shelf.clocks import WORDS, edges_text
from benchmate.shelf.material import EDGES
from benchmate.shelf.questions import new_material, shown
from benchmate.shelf.stock import keeps_until, left_words, too_old


@click.group(cls=Verbs, invoke_without_command=True)
@json_option
@click.pass_context
def shelf(ctx: click.Context, as_json: bool) -> None:
    """What is on the shelf, and what its labels say. Without a word it lists it."""
    if ctx.invoked_subcommand is not None:
        return
    with the_bench(ctx.obj, write=True) as bench:
        materials, used = materials_of(bench), bench.shop.shelf.used
        if as_json:
            from benchmate.shelf.data import as_data

            say_json([as_data(t, used.get(t.name, 0.0)) for t in materials.values()])
            return
        for material in materials.values():
            put(_listed(bench, material))
        if not materials:
            put("The shelf is empty. Add something: benchmate shelf add NAME --kind KIND")


def _listed(bench: Bench, material: Material) -> str:
    used, units = bench.shop.shelf.used.get(material.name, 0.0), bench.settings.units
    opened = f"opened {material.opened_on}" if material.opened_on else ""
    old = "opened too long ago" if too_old(material, today_of(bench)) else ""
    acts = ", ".join(acts_of(material)) or "no clocks"
    parts = (
        material.name,
        filled(material).kind or material.family,
        acts,
        left_words(material, used, units),
        opened,
        old,
    )
    return "  ".join(p for p in parts if p)


@shelf.command()
@click.argument("name")
@click.option("--kind", "family", default="", help="What it is; see `benchmate shelf kinds`.")
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
    """Put something on the shelf, or type its label again."""
    values: dict[str, str] = {}
    for label in labels:
        key, equals, value = label.partition("=")
        if not equals:
            fail(f"“{label[:40]}” is no KEY=VALUE.")
        values[key.strip()] = value.strip()
    with the_bench(home) as bench:
        if family and family not in FAMILIES:
            hint = did_you_mean(family, FAMILIES, "`benchmate shelf kinds` lists them.")
            fail(f"There is no kind “{family[:40]}”.{hint}")
        material = (
            materials_of(bench).get(name) or _again(bench, name, family) or _new(name, family)
        )
        if family and material.family != family:
            fail(
                f"{material.name} is on the shelf as {material.family or 'of no kind'}. "
                f"`benchmate shelf gone` takes it off; then it can be put there as {family}."
            )
        material = with_label(material, values)
        describe_material(bench, material)
        put(f"{material.name} is on the shelf.")
        for text in clashes(material):
            put(f"Caution: {text}")


def _again(bench: Bench, name: str, family: str) -> Material | None:
    """A fresh material of one that was used up, with the label that was typed then."""
    material = gone_materials(bench).get(name)
    return material if material is not None and family in ("", material.family) else None


def _new(name: str, family: str) -> Material:
    if family:
        return new_material(name, family)
    if name in FAMILIES:
        return new_material(name, name)
    said = "Add --kind; `benchmate shelf kinds` lists them."
    return fail(f"What is {name[:40]}? {said}")


@shelf.command()
@click.argument("name")
@click.pass_obj
def gone(home: Path | None, name: str) -> None:
    """Take something off the shelf: used up or thrown away. Its running clocks and history stay."""
    with the_bench(home) as bench:
        material_gone(bench, name)
        put(f"{name} is off the shelf. Its clocks run on, and the logbook keeps it.")


@shelf.command()
@click.argument("name")
@click.option("--accept", is_flag=True, help="Take the shorter times that were seen here.")
@click.option("--back", is_flag=True, help="Back to the label's times; what was seen is set aside.")
@json_option
@click.pass_obj
def show(home: Path | None, name: str, accept: bool, back: bool, as_json: bool) -> None:
    """What a label says, what stands in where it is silent (marked ~), and what was seen here."""
    with the_bench(home) as bench:
        material = find_material(bench, name)
        if accept or back:
            for text in (take_waits if accept else leave_waits)(bench, material):
                put(text)
            return
        used = bench.shop.shelf.used.get(material.name, 0.0)
        if as_json:
            from benchmate.shelf.data import as_data

            say_json(as_data(material, used, on_shelf=material.name in bench.shop.shelf.labels))
            return
        for text in _label(bench, material, used):
            put(text)


def _label(bench: Bench, material: Material, used: float) -> Iterator[str]:
    full, units, until = filled(material), bench.settings.units, keeps_until(material)
    yield f"{material.name}  ({material.family or full.kind})"
    if left := left_words(material, used, units):
        yield f"  {left}"
    if material.opened_on:
        yield f"  opened {material.opened_on}" + (f", keeps until {until}" if until else "")
    for window in full.windows:
        given = [e for e in EDGES if e not in rough_edges(window)]
        for edges, source in ((given, material.source), (rough_edges(window), COMMON_PRACTICE)):
            if text := edges_text(window, edges, units):
                gap = " " if text[:1].isdigit() else ", "
                yield _sourced(f"{window.act}: {window.name}{gap}{text}", source)
    yield from _values(material, full, units)
    if full.rough or any(rough_edges(w) for w in full.windows):
        yield USUAL
    for text in (too_old(material, today_of(bench)), *clashes(material)):
        if text:
            yield f"  Caution: {text}"
    yield from (f"  {text}" for text in own_waits(bench, material))
    yield from (f"  {text}" for text in cautions_of(material))


def _values(material: Material, full: Material, units: Units) -> Iterator[str]:
    for key, word in WORDS.items():
        is_asked = key not in ("air", "carrier", "ratio_by")
        if is_asked and (text := shown(full, key, units)):
            source = COMMON_PRACTICE if key in full.rough else material.source
            yield _sourced(f"{word} {text}", source)


def _sourced(text: str, source: str) -> str:
    """A value with who says so: "~" where no label does."""
    return f"~ {text}" if source == COMMON_PRACTICE else f"  {text}  ({source})"


@shelf.command()
def kinds() -> None:
    """The kinds of material that common practice knows of."""
    for name, material in FAMILIES.items():
        put(f"{name}  ({material.kind})")
