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

BESIDE = 2
"""Up to so many voids have their readings beside the layers; those of more stand in rows below."""
ACROSS = 6
"""Pieces beside each other in the table of parts."""
CELLS, SHORT = 15, 8
"""Cells beside each other in those rows, wide enough to write a weight in; letters of a place's
name that fit such a cell."""


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

    named = {(mix.a_name, mix.b_name) for mix in plan.mixes}
    rows, n = [], 0
    for _, several in groupby(plan.mixes, alike):
        cups = list(several)
        name = f"{n + 1}" if len(cups) == 1 else f"{n + 1} to {n + len(cups)}, each"
        n += len(cups)
        halves = ((cups[0].a_g, cups[0].a_name), (cups[0].b_g, cups[0].b_name))
        amounts = (figures.bare(g) + (f" {what}" if len(named) > 1 else "") for g, what in halves)
        rows.append((str(len(cups)), name, *amounts, figures.bare(cups[0].total_g)))
    if rows:
        first, then = next(iter(named)) if len(named) == 1 else ("first", "then")
        large = (paper.Column(f"{what}, {figures.unit}", "large", 1.3) for what in (first, then))
        ends = paper.columns(f"mixed ☐ | cup | both, {figures.unit} >")
        heads = (*ends[:2], *large, ends[2])
        yield paper.SheetTable("Mix", heads, tuple(rows), "cups", beside=True)


def _layers(plan: Plan, figures: Figures) -> Iterator[paper.Block]:
    """Voids that are filled alike once: a row a layer, a cell to write each reading in; what the
    scale then says is added up from an empty scale."""

    def amounts(fill: Fill) -> tuple[object, ...]:
        each = tuple((round(la.shot_g, 2), round(la.resin_g, 2)) for la in fill.layers)
        return each, round(fill.cap_g, 2)

    by_amounts: dict[tuple[object, ...], list[Fill]] = {}
    for fill in plan.fills:
        by_amounts.setdefault(amounts(fill), []).append(fill)
    unit, several = figures.unit, len(plan.pieces) > 1
    for fills in by_amounts.values():
        pieces = dict.fromkeys(fill.piece for fill in fills)
        wheres = dict.fromkeys(fill.where for fill in fills)
        places = [" ".join([f.piece] * several + [f.where] * (len(wheres) > 1)) for f in fills]
        poured = [(str(n), la.shot_g, la.resin_g) for n, la in enumerate(fills[0].layers, 1)]
        poured += [("cap", 0.0, fills[0].cap_g)] if fills[0].cap_g else []
        beside = places if len(places) <= BESIDE else []
        rows, total = [], 0.0
        for layer, shot_g, resin_g in poured:
            total += shot_g + resin_g
            shot = figures.bare(shot_g) if shot_g else "–"
            cells = (layer, shot, figures.bare(resin_g), figures.bare(total))
            rows.append((*cells, *("" for _ in beside)))
        heads = f"layer*0.7 | shot, {unit} ! | resin, {unit} >*0.9 | scale then, {unit} !*1.3"
        blanks = (paper.Column(f"read {place}".strip(), "blank", 1.1) for place in beside)
        where = " and ".join(wheres) if len(wheres) < 3 else f"{len(wheres)} voids, each"
        caption = f"Fill the {where} of {', '.join(pieces)}; the scale from zero"
        name = f"layers-{next(iter(wheres))}"
        heads_of = (*paper.columns(heads), *blanks)
        yield paper.SheetTable(caption, heads_of, tuple(rows), name, beside=True)
        if not beside:
            yield _readings(places, [row[0] for row in rows])


def _readings(places: Sequence[str], layers: Sequence[str]) -> paper.SheetTable:
    """Cells to write in for each place, several places beside each other."""
    label = 1.0 if max(map(len, places)) < SHORT else 3.6
    across = max(1, min(len(places), int(CELLS / (len(layers) + label))))
    heads = [paper.Column("read", "text", label), *(paper.Column(name, "blank") for name in layers)]
    filled = [*places, *[""] * (-len(places) % across)]
    rows = [
        tuple(cell for place in filled[at : at + across] for cell in (place, *[""] * len(layers)))
        for at in range(0, len(filled), across)
    ]
    return paper.SheetTable("", tuple(heads * across), tuple(rows))


def _steps(plan: Plan, figures: Figures) -> paper.SheetTable:
    """Every step of the file once, in its stage, with a box for each piece and repeat."""
    pieces = [piece.name for piece in plan.pieces]
    known: set[str] = set()
    rows, stages = [], []
    for steps, boxes in _rows(plan):
        step = steps[0]
        new = [name for name in step.cautions if name not in known]
        known.update(new)
        each = step.each_of if len(steps) > len({one.piece for one in steps}) else ""
        each = "" if each == step.do else each
        asks = [check.ask for check in step.checks if not check.unit]
        kept = [
            f"Next time: {text}"
            for of in (plan.notes, plan.next_time)
            for text in of.get(step.file_step, ())
        ]
        others = len({one.where for one in steps if one.where}) - 1
        same = [f"The same at the other {others}."] if others > 0 and not each else []
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
    """Steps that are the same act in the file, with the boxes that each piece has of it: none where
    the cup's box or the layer's cell is above, one where parts have a cell each overleaf."""
    rows: dict[tuple[str, str], list[Step]] = {}
    for step in plan.steps:
        rows.setdefault((step.file_step, step.act), []).append(step)
    every = [piece.name for piece in plan.pieces]
    for steps in rows.values():
        owners = [name for step in steps for name in ([step.piece] if step.piece else every)]
        weighed = 1 if _weighs_parts(steps) else len(steps)
        most = 0 if steps[0].scope in ("mix", "layer") else weighed
        yield steps, {name: min(most, owners.count(name)) for name in every}


def _weighs_parts(steps: Sequence[Step]) -> bool:
    """Whether parts are weighed one after the other: their weights stand overleaf."""
    return steps[0].act == "weighed" and len({step.part for step in steps}) > 1


def _beside(steps: Sequence[Step], figures: Figures) -> str:
    """What it weighs; limits; clocks."""
    weigh = steps[0].weigh
    said = ["each as under Parts, overleaf"] if _weighs_parts(steps) else []
    if weigh is not None and weigh.plan_g is not None and not said:
        said = [figures.around(weigh.plan_g, weigh.tolerance_g)]
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
    yield from _parts(plan, figures)
    if plan.cautions:
        yield paper.SheetHeading("Cautions")
        yield from (paper.Caution(name, text) for name, text in plan.cautions.items())
    yield from _materials(plan)
    if plan.learned:
        learned = "; ".join(plan.learned.values())
        yield paper.Paragraph(f"Planned with what earlier jobs taught: {learned}.")
    yield paper.Lines("Notes", 3)


def _parts(plan: Plan, figures: Figures) -> Iterator[paper.Block]:
    """A row a part, with its label's code and room for what it weighs in a cell for each piece."""
    codes: dict[tuple[str, str, str], dict[str, str]] = {}
    for part in plan.parts:
        row = part.name, part.wood, figures.around(part.mass_g, part.mass_u_g)
        code = shown(code_of(f"{plan.job}/{part.piece}/{part.name}"))
        codes.setdefault(row, {})[part.piece] = code
    pieces = [piece.name for piece in plan.pieces]
    for at in range(0, len(pieces) if codes else 0, ACROSS):
        some = pieces[at : at + ACROSS]
        rows = [(*row, *(of.get(name, "–") for name in some)) for row, of in codes.items()]
        cells = (paper.Column(f"{name} weighed, label", "blank") for name in some)
        name = f"parts-{at + 1}" if at else "parts"
        yield paper.table("Parts", "part*1.2 | wood*1.4 | plan >*1.1", rows, name, *cells)


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
