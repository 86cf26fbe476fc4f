"""`benchmate calc`: list the calculators, explain one, or have it answer."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

from benchmate.cli.exits import Exit
from benchmate.cli.saying import put
from benchmate.quantities import Units, quote
from benchmate.quantities.worded import in_units
from benchmate.reckon import Refused, answer


def typed_pairs(words: tuple[str, ...]) -> dict[str, str]:
    """Return key=value words as a mapping, the text of a file in place of @file.

    Raises Refused, one sentence, for a word of another form, a key given twice, or a file that
    can't be read.
    """
    typed: dict[str, str] = {}
    for word in words:
        key, equals, value = word.partition("=")
        if not equals or not key.strip():
            raise Refused(f"{quote(word)} is not key=value; write it like shot_mm=2")
        key = key.strip()
        if not key.isprintable() or len(key) > 80:
            raise Refused(f"{quote(key)} is no input's name")
        if key in typed:
            raise Refused(f"{key} is given twice; give it once")
        typed[key] = _from_file(key, value[1:]) if value.startswith("@") else value
    return typed


def _from_file(key: str, name: str) -> str:
    from benchmate.bench.text_file import read_file  # The service is more than most answers need.

    return read_file(key, name)


class Calc(click.Command):
    """The calculators, and `calc heat` of the job's next cup, which knows the job."""

    def make_context(
        self,
        info_name: str | None,
        args: list[str],
        parent: click.Context | None = None,
        **more: Any,
    ) -> click.Context:
        """Hand over to `heat` where that is asked for."""
        if args[:1] != ["heat"]:
            return super().make_context(info_name, args, parent, **more)
        from benchmate.cli.shop.heat import heat

        return heat.make_context(f"{info_name} heat", args[1:], parent, **more)


@click.command(
    cls=Calc,
    epilog="`benchmate calc heat` works out how warm the next cup of a job gets; "
    "`benchmate calc heat --help` says more.",
)
@click.argument("name", required=False)
@click.argument("pairs", nargs=-1, metavar="[KEY=VALUE]...")
@click.option("--json", "as_json", is_flag=True, help="Answer as JSON.")
@click.option(
    "--inch", is_flag=True, help="Show results in inches, pounds and °F, whatever the settings say."
)
@click.pass_context
def calc(
    ctx: click.Context, name: str | None, pairs: tuple[str, ...], as_json: bool, inch: bool
) -> None:
    """List the calculators; explain NAME; or answer NAME for KEY=VALUE.

    A bare number is in the unit of the key's suffix; "3/4 in" or "1 h 30" are converted. A list or
    a table is JSON, or @file with JSON in it.
    """
    try:
        put(_said(name, pairs, as_json=as_json, units=lambda: _units(ctx.obj, inch=inch)))
    except Refused as refusal:
        text = in_units(refusal.args[0], _units(ctx.obj, inch=inch))
        put(f"benchmate calc: {text}", err=True)
        ctx.exit(Exit.REFUSED)


def _units(home: Path | None, *, inch: bool) -> Units:
    """Inches where they are asked for or set; a calculator needs no bench, so nothing is opened."""
    if inch:
        return "inch"
    from benchmate.settings import find_folders, load

    settings, trouble = load(find_folders(home))
    if trouble:
        put(trouble, err=True)
    return settings.units


def _said(
    name: str | None, pairs: tuple[str, ...], *, as_json: bool, units: Callable[[], Units]
) -> str:
    from benchmate.reckon.asking import render
    from benchmate.reckon.asking.registry import all_of_them, find

    if name is None:
        found = all_of_them()
        return (
            json.dumps([{"name": one.name, "title": one.title} for one in found])
            if as_json
            else render.list_text(found)
        )
    if "=" in name:
        raise Refused(f"{quote(name)} is where a calculator's name belongs; write the name first")
    if not pairs:
        one = find(name)
        return json.dumps(render.described(one)) if as_json else render.explain_text(one)
    answered = answer(name, typed_pairs(pairs))
    if as_json:
        return json.dumps(answered.to_json())
    return render.answer_text(answered, units=units())


if __name__ == "__main__":
    calc()
