"""The job card: what is pinned up before the work, large enough to read with gloves on.

The front: mixes, each layer with what the scale then says, and every step once with a box for each
piece; the back: what to have ready, parts, cautions in full, materials and whose values they are.
Wall times are left out: they slip, and the screen has them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from benchmate.papers.codes import code_of, shown
from benchmate.papers.sheet import (
    Block,
    Caution,
    Column,
    Heading,
    PageBreak,
    Paragraph,
    Sheet,
    Table,
    Ticks,
)
from benchmate.plan.plan import Fill, PiecePlan, Plan, Step
from benchmate.quantities import Units, show_duration, show_mass, show_number
from benchmate.shelf.material import COMMON_PRACTICE

TICKS = "☐"


def card_of(plan: Plan, units: Units, date: str) -> Sheet:
    """The card of a plan; `date` is when the plan was made, in words."""
    return Sheet(
        name="card",
        title=plan.title,
        subtitle=_targets(plan, units),
        blocks=[
            *_cups(plan, units),
            *_layers(plan, units),
            *_steps(plan, units),
            PageBreak(),
            *_back(plan, units),
        ],
        foot=f"{plan.job} · plan of {date}",
    )


def _targets(plan: Plan, units: Units) -> str:
    said = [_target(piece, units) for piece in plan.pieces if piece.target_g is not None]
    match = f"; within {show_mass(plan.match_g, units)} of each other" if plan.match_g else ""
    pieces = ", ".join(piece.label or piece.name for piece in plan.pieces)
    return f"{pieces}: {said[0]}{match}" if said else pieces


def _target(piece: PiecePlan, units: Units) -> str:
    text = show_mass(piece.target_g or 0.0, units)
    if piece.tolerance_g:
        text += f" ± {show_mass(piece.tolerance_g, units)}"
    return text


def _cups(plan: Plan, units: Units) -> Iterator[Block]:
    rows = [
        (
            "",
            f"cup {n}",
            f"{show_mass(mix.a_g, units)} {mix.a_name}",
            f"{show_mass(mix.b_g, units)} {mix.b_name}",
            show_mass(mix.total_g, units),
        )
        for n, mix in enumerate(plan.mixes, 1)
    ]
    if rows:
        columns = (
            Column("mixed", "tick"),
            Column("cup", width=0.7),
            Column("part A", "number"),
            Column("part B", "number"),
            Column("together", "number"),
        )
        yield Table("Mix each cup", columns, tuple(rows), "cups")


def _layers(plan: Plan, units: Units) -> Iterator[Block]:
    """Each void once where all pieces are filled alike: a row a layer, a cell to write in for each
    piece; what the scale then says is added up from an empty scale."""
    by_void: dict[tuple[object, ...], list[Fill]] = {}
    for fill in plan.fills:
        amounts = tuple((round(la.shot_g, 2), round(la.resin_g, 2)) for la in fill.layers)
        by_void.setdefault((fill.where, amounts), []).append(fill)
    for fills in by_void.values():
        pieces = tuple(dict.fromkeys(fill.piece for fill in fills))
        columns = (
            Column("layer", "number", 0.5),
            Column("shot", "number"),
            Column("resin", "number"),
            Column("scale then, from zero", "number", 1.3),
            *(Column(f"read, {piece}", "blank") for piece in pieces),
        )
        rows, total = [], 0.0
        for n, layer in enumerate(fills[0].layers, 1):
            total += layer.shot_g + layer.resin_g
            shot = show_mass(layer.shot_g, units)
            cells = (str(n), shot, show_mass(layer.resin_g, units), show_mass(total, units))
            rows.append((*cells, *("" for _ in pieces)))
        where = fills[0].where
        yield Table(
            f"Fill the {where} of {', '.join(pieces)}", columns, tuple(rows), f"layers-{where}"
        )


def _steps(plan: Plan, units: Units) -> Iterator[Block]:
    """Every step of the file once, under its stage, with a box for each piece and repeat."""
    pieces = [piece.name for piece in plan.pieces]
    columns = (
        *(Column(name, "text", 0.45) for name in pieces),
        Column("step", width=5.6),
        Column("clock", width=1.9),
        Column("weight, size", width=1.4),
    )
    known: set[str] = set()
    rows: list[tuple[str, ...]] = []
    for stage, steps in groupby(_rows(plan), key=lambda row: row[0].block):
        empty = tuple("" for _ in pieces)
        if stage:
            rows.append((*empty, f"— {stage}", "", ""))
        for step, boxes in steps:
            new = [name for name in step.cautions if name not in known]
            known.update(new)
            said = step.each_of if step.each_of and max(boxes.values(), default=1) > 1 else step.do
            if new:
                said += f"  ▲ {', '.join(new)}"
            ticks = tuple(_boxes(boxes.get(name, 0)) for name in pieces)
            rows.append((*ticks, said, _clock(step), _size(step, units)))
    yield Table("", columns, tuple(rows))


def _boxes(count: int) -> str:
    """So many boxes, in rows of two."""
    return " ".join(TICKS * min(2, count - at) for at in range(0, count, 2))


def _rows(plan: Plan) -> list[tuple[Step, dict[str, int]]]:
    """Steps that are the same act in the file, with how many each piece has of it."""
    rows: dict[tuple[str, str], tuple[Step, dict[str, int]]] = {}
    every = [piece.name for piece in plan.pieces]
    for step in plan.steps:
        _, boxes = rows.setdefault((step.file_step, step.act), (step, {}))
        for name in [step.piece] if step.piece else every:
            boxes[name] = boxes.get(name, 0) + 1
    return list(rows.values())


def _clock(step: Step) -> str:
    said = []
    for window in step.windows[:2]:
        if window.opens_s is not None:
            said.append(f"{window.name}: after {show_duration(window.opens_s)}")
        elif window.closes_s is not None:
            said.append(f"{window.name}: {show_duration(window.closes_s)}")
    return "; ".join(said)


def _size(step: Step, units: Units) -> str:
    if step.weigh is not None and step.weigh.plan_g is not None:
        return show_mass(step.weigh.plan_g, units)
    limits = [
        f"{check.name} {_limits(check.at_least, check.at_most)} {check.unit}".strip()
        for check in step.checks
        if check.unit
    ]
    return "; ".join(limits)


def _limits(low: float | None, high: float | None) -> str:
    if low is not None and high is not None:
        return f"{show_number(low, 1)} to {show_number(high, 1)}"
    if low is not None:
        return f"≥ {show_number(low, 1)}"
    return f"≤ {show_number(high, 1)}" if high is not None else ""


def _back(plan: Plan, units: Units) -> Iterator[Block]:
    if plan.needs:
        yield Heading("To hand before the first cut")
        yield Ticks(
            tuple(
                f"{show_number(n.count, 0)} × {n.what}{f', {n.size}' if n.size else ''}"
                if n.count != 1
                else f"{n.what}{f', {n.size}' if n.size else ''}"
                for n in plan.needs
            )
        )
    if plan.parts:
        yield _parts(plan, units)
    if plan.cautions:
        yield Heading("Cautions")
        yield from (Caution(name, text) for name, text in plan.cautions.items())
    yield from _materials(plan)
    learned = list(plan.learned.values())
    if learned:
        yield Paragraph(f"Planned with what earlier jobs taught: {'; '.join(learned)}.")
    yield Heading("Notes")
    yield Table("", (Column("", "blank"),), (("",), ("",), ("",)))


def _parts(plan: Plan, units: Units) -> Table:
    columns = (
        Column("piece", width=0.5),
        Column("part", width=1.5),
        Column("wood", width=1.5),
        Column("plan", "number"),
        Column("weighed", "blank"),
        Column("label", width=1.2),
    )
    rows = tuple(
        (
            part.piece,
            part.name,
            part.wood,
            show_mass(part.mass_g, units),
            "",
            shown(code_of(f"{plan.job}/{part.piece}/{part.name}")),
        )
        for part in plan.parts
    )
    return Table("Parts", columns, rows, "parts")


def _materials(plan: Plan) -> Sequence[Block]:
    """A row a material; what no label gave is marked."""
    rows = tuple(
        (
            used.role,
            used.material,
            "; ".join(f"{v.what} {v.text}{_mark(v.source)}" for v in used.values),
        )
        for used in plan.materials
        if used.values
    )
    if not rows:
        return []
    columns = (Column("for", width=0.8), Column("material", width=1.5), Column("values", width=6.0))
    table = Table("Materials", columns, rows, "materials")
    marked = any(_mark(v.source) for used in plan.materials for v in used.values)
    note = "~ common practice, not from your label: the maker's data sheet comes first."
    return [table, Paragraph(note)] if marked else [table]


def _mark(source: str) -> str:
    return " ~" if source == COMMON_PRACTICE else ""
