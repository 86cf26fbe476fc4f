"""The job card: what is pinned up before the work, large enough to read with gloves on.

The front: cups, each layer with what the scale then says, and every step once with a box for each
piece and room for the time or the reading; the back: what to have ready, parts, cautions in full,
materials and whose values they are. Wall times are left out: they slip, and the screen has them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from benchmate.papers import sheet as paper
from benchmate.papers.codes import code_of, shown
from benchmate.papers.figures import Figures, label_says
from benchmate.papers.report import ROUGH
from benchmate.plan.plan import Check, Fill, MaterialValue, Mix, Plan, Step
from benchmate.quantities import show_number
from benchmate.shelf.material import COMMON_PRACTICE

BESIDE = 4
"""Up to so many pieces stand beside each other with room to write in; more have rows."""


def card_of(plan: Plan, figures: Figures, date: str) -> paper.PaperSheet:
    """The card of a plan; `date` is when the plan was made, in words."""
    aims = [figures.around(p.target_g, p.tolerance_g) for p in plan.pieces if p.target_g]
    aside = aims[0] if len(set(aims)) == 1 else ""
    named = [p.label or p.name for p in plan.pieces]
    if aims and not aside:
        named = [f"{name} {aim}" for name, aim in zip(named, aims, strict=False)]
    match = f"; within {figures.mass(plan.match_g)} of each other" if plan.match_g else ""
    front = [*_cups(plan, figures), *_layers(plan, figures), _steps(plan, figures)]
    return paper.PaperSheet(
        "card",
        plan.title,
        ", ".join(named) + match,
        [*front, paper.PageBreak(), *_back(plan, figures)],
        f"{plan.job} · plan of {date}",
        aside,
    )


def _cups(plan: Plan, figures: Figures) -> Iterator[paper.Block]:
    """Cups that are alike are one row with a box for each."""

    def alike(mix: Mix) -> tuple[object, ...]:
        return mix.a_name, mix.b_name, round(mix.a_g, 1), round(mix.b_g, 1)

    rows, n = [], 0
    for _, several in groupby(plan.mixes, alike):
        cups = list(several)
        name = f"cup {n + 1}" if len(cups) == 1 else f"cups {n + 1} to {n + len(cups)}, each"
        n += len(cups)
        amounts = (f"{figures.mass(g)} {what}" for g, what in _halves(cups[0]))
        rows.append((str(len(cups)), name, *amounts, figures.bare(cups[0].total_g)))
    if rows:
        heads = f"mixed ☐ | cup | first ! | then ! | scale then, {figures.unit} >"
        yield paper.table("Mix", heads, rows, "cups")


def _halves(mix: Mix) -> tuple[tuple[float, str], tuple[float, str]]:
    return (mix.a_g, mix.a_name), (mix.b_g, mix.b_name)


def _layers(plan: Plan, figures: Figures) -> Iterator[paper.Block]:
    """Each void once where all pieces are filled alike: a row a layer, a cell to write in for each
    piece; what the scale then says is added up from an empty scale."""

    def amounts(fill: Fill) -> tuple[object, ...]:
        each = tuple((round(la.shot_g, 2), round(la.resin_g, 2)) for la in fill.layers)
        return fill.where, each, round(fill.cap_g, 2)

    by_void: dict[tuple[object, ...], list[Fill]] = {}
    for fill in plan.fills:
        by_void.setdefault(amounts(fill), []).append(fill)
    unit = figures.unit
    for fills in by_void.values():
        pieces = tuple(dict.fromkeys(fill.piece for fill in fills))
        poured = [(str(n), la.shot_g, la.resin_g) for n, la in enumerate(fills[0].layers, 1)]
        poured += [("cap", 0.0, fills[0].cap_g)] if fills[0].cap_g else []
        beside = pieces if len(pieces) <= BESIDE else ()
        rows, total = [], 0.0
        for layer, shot_g, resin_g in poured:
            total += shot_g + resin_g
            shot = figures.bare(shot_g) if shot_g else "–"
            cells = (layer, shot, figures.bare(resin_g), figures.bare(total))
            rows.append((*cells, *("" for _ in beside)))
        heads = f"layer | shot, {unit} ! | resin, {unit} > | scale then, from zero, {unit} !*1.4"
        blanks = (paper.Column(f"read, {piece}", "blank", 1.2) for piece in beside)
        where = fills[0].where
        caption = f"Fill the {where} of {', '.join(pieces)}"
        yield paper.table(caption, heads, rows, f"layers-{where}", *blanks)
        if not beside:
            blank = " | ".join(f"{row[0]} _" for row in rows)
            lines = [(piece, *("" for _ in rows)) for piece in pieces]
            yield paper.table(f"Read after each layer, {unit}", f"piece | {blank}", lines)


def _steps(plan: Plan, figures: Figures) -> paper.SheetTable:
    """Every step of the file once, in its stage, with a box for each piece and repeat."""
    pieces = [piece.name for piece in plan.pieces]
    known: set[str] = set()
    rows, stages = [], []
    for steps, boxes in _rows(plan):
        step = steps[0]
        new = [name for name in step.cautions if name not in known]
        known.update(new)
        each = step.each_of if max(boxes.values(), default=1) > 1 else ""
        asks = [check.ask for check in step.checks if not check.unit]
        kept = [
            f"Next time: {text}"
            for of in (plan.notes, plan.next_time)
            for text in of.get(step.file_step, ())
        ]
        alike = list(dict.fromkeys(one.where for one in steps if one.where))[1:]
        same = [f"The same: {', '.join(alike)}."] if alike and not each else []
        said = " ".join([each or step.do, *same, *asks, *kept])
        said += f"  ▲\u00a0{', '.join(new)}" if new else ""
        ticks = (str(boxes.get(name, 0)) for name in pieces)
        rows.append((*ticks, said, _beside(steps, figures), ""))
        stages.append(step.block)
    heads = "what to do*5.3 | clock at label temperature; weight, size*2.1 | time, reading _*0.75"
    ticks_of = tuple(paper.Column(name, "tick") for name in pieces)
    return paper.SheetTable(
        "", (*ticks_of, *paper.columns(heads)), tuple(rows), stages=tuple(stages)
    )


def _rows(plan: Plan) -> Iterator[tuple[Sequence[Step], dict[str, int]]]:
    """Steps that are the same act in the file, with how many each piece has of it."""
    rows: dict[tuple[str, str], list[Step]] = {}
    for step in plan.steps:
        rows.setdefault((step.file_step, step.act), []).append(step)
    every = [piece.name for piece in plan.pieces]
    for steps in rows.values():
        owners = [name for step in steps for name in ([step.piece] if step.piece else every)]
        yield steps, {name: owners.count(name) for name in every}


def _beside(steps: Sequence[Step], figures: Figures) -> str:
    """What it weighs, of parts that are weighed in turn each; limits; clocks."""
    weights = {
        step.part: figures.around(step.weigh.plan_g, step.weigh.tolerance_g)
        for step in reversed(steps)
        if step.weigh is not None and step.weigh.plan_g is not None
    }
    several = len(set(weights.values())) > 1
    said = [f"{part} {text}" if several else text for part, text in reversed(weights.items())]
    said = said if several else said[:1]
    said += [_limits(check) for check in steps[0].checks if check.unit]
    said += [f"{w.name}: {text}" for w in steps[0].windows if (text := label_says(w))]
    return "; ".join(said)


def _limits(check: Check) -> str:
    bounds = ((sign, n) for sign, n in (("≥", check.at_least), ("≤", check.at_most)) if n)
    said = ", ".join(f"{sign}\u00a0{show_number(n, 1)}\u00a0{check.unit}" for sign, n in bounds)
    return f"{check.name} {said}"


def _back(plan: Plan, figures: Figures) -> Iterator[paper.Block]:
    if plan.needs:
        yield paper.SheetHeading("To hand before the first cut")
        counts = (f"{show_number(n.count, 0)} × " if n.count != 1 else "" for n in plan.needs)
        sizes = (f"{n.what}{f', {n.size}' if n.size else ''}" for n in plan.needs)
        yield paper.Ticks(tuple(map("".join, zip(counts, sizes, strict=True))))
    if plan.parts:
        rows = [
            (
                part.piece,
                part.name,
                part.wood,
                figures.around(part.mass_g, part.mass_u_g),
                "",
                shown(code_of(f"{plan.job}/{part.piece}/{part.name}")),
            )
            for part in plan.parts
        ]
        heads = "piece*0.5 | part*1.5 | wood*1.5 | plan > | weighed _ | label*1.2"
        yield paper.table("Parts", heads, rows, "parts")
    if plan.cautions:
        yield paper.SheetHeading("Cautions")
        yield from (paper.Caution(name, text) for name, text in plan.cautions.items())
    yield from _materials(plan)
    if plan.learned:
        learned = "; ".join(plan.learned.values())
        yield paper.Paragraph(f"Planned with what earlier jobs taught: {learned}.")
    yield paper.Lines("Notes", 3)


def _materials(plan: Plan) -> Iterator[paper.Block]:
    """A row a material; what no label gave is marked."""
    rows = [
        (used.role, used.material, "; ".join(_value(value) for value in used.values))
        for used in plan.materials
        if used.values
    ]
    if rows:
        yield paper.table("Materials", "for*0.8 | material*1.5 | values*6", rows, "materials")
        yield paper.Paragraph(ROUGH)


def _value(value: MaterialValue) -> str:
    by = "~" if value.source == COMMON_PRACTICE else f"({value.source})" if value.source else ""
    return f"{value.what} {value.text} {by}".strip()
