"""`benchmate logbook chart`: a control chart over the shop's records, or a column of numbers."""

from __future__ import annotations

import json
from pathlib import Path

import click

from benchmate.charts import Chart, ChartError, Kind, Options, RuleSet, draw, of_shop
from benchmate.cli.exits import Exit
from benchmate.cli.saying import put

LARGEST_FILE = 16 << 20


@click.command()
@click.option("--of", metavar="WHAT", help="Of the records: weights, gains, packing, loss, scale.")
@click.option("--procedure", metavar="NAME", default="", help="Only jobs of this procedure.")
@click.option("--data", "data", metavar="FILE.csv", help="A table with a line of column names.")
@click.option("--column", metavar="NAME", help="The column to chart.")
@click.option(
    "--type",
    "kind",
    type=click.Choice([kind.value for kind in Kind]),
    default=Kind.INDIVIDUALS.value,
    show_default=True,
    help="Single values, their weighted mean, or their summed deviations.",
)
@click.option("--target", type=float, help="Centre; else the mean of the base.")
@click.option("--sigma", type=float, help="Spread; else from the base's moving ranges.")
@click.option("--lambda", "weight", type=float, help="ewma: weight of the newest value, 0.2.")
@click.option("--limit-width", type=float, help="Distance of the limits in sigmas.")
@click.option("--k", type=float, help="cusum: slack, in sigmas with --sigma, else in data units.")
@click.option("--h", type=float, help="cusum: decision limit, in the same units as --k.")
@click.option(
    "--rules",
    type=click.Choice([rules.value for rules in RuleSet]),
    default=RuleSet.NONE.value,
    show_default=True,
    help="individuals: run rules, four by Western Electric or eight by Nelson.",
)
@click.option("--base", type=int, metavar="N", help="Centre and spread from the first N values.")
@click.option("--steady", is_flag=True, help="ewma: the long run's limits at every point.")
@click.option("--json", "as_json", is_flag=True, help="Answer as JSON.")
@click.pass_context
def chart(
    ctx: click.Context,
    of: str | None,
    procedure: str,
    data: str | None,
    column: str | None,
    kind: str,
    target: float | None,
    sigma: float | None,
    weight: float | None,
    limit_width: float | None,
    k: float | None,
    h: float | None,
    rules: str,
    base: int | None,
    steady: bool,
    as_json: bool,
) -> None:
    """Chart the shop's own records, or a column of numbers; say what chance doesn't explain.

    Without --data it charts finished weights, or what --of names: one point a job, about the
    target. With --data it draws the field's standard charts; the other options are for those.
    Lines of FILE.csv that begin with # are comments.
    """
    options = Options(
        Kind(kind), target, sigma, weight, limit_width, k, h, RuleSet(rules), base, steady
    )
    try:
        if data is None and column is None:
            if options != Options():
                raise ChartError("A chart of the records has no options but --of and --procedure.")
            _of_records(ctx.obj, of or "weights", procedure, as_json=as_json)
            return
        if of or procedure:
            raise ChartError("Chart a file (--data and --column) or the records (--of), not both.")
        chart = draw(column_of_file(data, column), options)
    except ChartError as refusal:
        put(f"benchmate logbook chart: {refusal}", err=True)
        ctx.exit(Exit.REFUSED)
    put(said(chart, as_json=as_json))


def _of_records(home: Path | None, of: str, procedure: str, *, as_json: bool) -> None:
    """A chart over the journal's own numbers, and what to do about it."""
    from benchmate.bench.history.records import UNITS, readings
    from benchmate.charts.plot import plot_text
    from benchmate.charts.report import as_data
    from benchmate.cli.opening import say_json, the_bench

    with the_bench(home, write=False) as bench:
        found = of_shop(readings(bench, of, procedure), UNITS[of])
    if as_json:
        say_json({**as_data(found.chart), "said": list(found.lines)})
        return
    unit = f" in {UNITS[of]}" if UNITS[of] else ""
    put(f"{of}{unit}, {procedure or 'all procedures'}")
    put("\n".join([plot_text(found.chart), *found.lines]))


def said(chart: Chart, *, as_json: bool) -> str:
    """The chart as JSON, or as a plot with its summary in words."""
    from benchmate.charts.report import as_data, as_lines

    if as_json:
        return json.dumps(as_data(chart), allow_nan=False)
    from benchmate.charts.plot import plot_text

    return "\n".join([plot_text(chart), *as_lines(chart)])


def column_of_file(data: str | None, column: str | None) -> list[float]:
    """Read the numbers; ChartError, one sentence that names file and line, where they can't be."""
    from benchmate.charts.column import ColumnError, NoSuchColumnError, read_column

    if data is None or column is None:
        raise ChartError("Say what to chart: --data FILE.csv and --column NAME.")
    try:
        blanks: list[int] = []
        values = read_column(_text_of(data), column, blanks)
    except ColumnError as error:
        hint = ""
        if isinstance(error, NoSuchColumnError):
            from benchmate.nearest import advice

            hint = f"; {advice(column, map(_printable, error.names))}"
        line = "" if error.line is None else f":{error.line}"
        raise ChartError(f"{_printable(data)}{line}: {error}{hint}.") from error
    if blanks:
        cells = "1 blank cell is" if len(blanks) == 1 else f"{len(blanks)} blank cells are"
        lines = ", ".join(map(str, blanks[:6])) + (" …" if blanks[6:] else "")
        put(f"{cells} left out (line {lines}).", err=True)
    return values


def _text_of(data: str) -> str:
    name = _printable(data)
    try:
        with Path(data).expanduser().open("rb") as file:
            content = file.read(LARGEST_FILE + 1)
    except (OSError, ValueError, RuntimeError) as error:
        reason = getattr(error, "strerror", None) or "its name can't be used"
        raise ChartError(f"{name}: the file can't be read ({reason}).") from error
    if len(content) > LARGEST_FILE:
        raise ChartError(f"{name}: the file is larger than 16 MiB; take out what isn't charted.")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        raise ChartError(f"{name}:{line}: this is not UTF-8 text.") from error


def _printable(text: str) -> str:
    """The text without what a terminal would take for commands."""
    return "".join(c if c.isprintable() else "?" for c in text)[:200]


if __name__ == "__main__":
    chart(prog_name="benchmate logbook chart")
