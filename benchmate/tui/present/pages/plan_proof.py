"""What a plan comes to before a job is started from it: weights, fills, mixes, walls, time."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from benchmate.bench.shelf.materials_for_job import counted
from benchmate.bench.starting.proofing import Proof
from benchmate.job.deciding.to_hand import need_text
from benchmate.lists.at_step import tenons_of
from benchmate.plan.found import balance_said, said
from benchmate.plan.plan import Fill, Mix, Plan
from benchmate.quantities import Units, show_duration, show_length, show_mass, show_volume
from benchmate.shelf.material import COMMON_PRACTICE
from benchmate.tui.present.lines import Line, Role
from benchmate.tui.present.listing import paragraph


def proof_lines(proof: Proof, units: Units, cells: int, *, roomy: bool = False) -> list[Line]:
    """The proof as lines: what is wrong, or what it comes to, the most needed first.

    Where it is `roomy`, what to lay out and the steps are listed too.
    """
    out: list[Line] = []
    for error in proof.errors:
        out += paragraph(error, cells, 4, "spoil", " ✗ ")
    for finding in proof.findings:
        out += paragraph(finding, cells, 4, "caution", " ! ")
    if proof.plan is None:
        return out
    for label, text, role in _facts(proof, proof.plan, units):
        out += paragraph(text, cells, 4, role, f" {label:<9}")
    return [*out, *_lists(proof.plan, cells)] if roomy else out


def _lists(plan: Plan, cells: int) -> list[Line]:
    """What to lay out, and the steps, those that are alike once."""
    out: list[Line] = []
    for n, need in enumerate(plan.needs):
        out += paragraph(need_text(need), cells, 2, "plain", f" {'lay out' if n == 0 else '':<9}")
    steps = dict.fromkeys(s.do for s in plan.steps if not s.piece or s.piece == _first(plan))
    for n, do in enumerate(steps):
        out += paragraph(do, cells, 1, "dim", f" {'steps' if n == 0 else '':<9}")
    return out


def _first(plan: Plan) -> str:
    return plan.pieces[0].name if plan.pieces else ""


def _facts(proof: Proof, plan: Plan, units: Units) -> Iterator[tuple[str, str, Role]]:
    yield "makes", _makes(plan, units), "strong"
    yield "work", _work(plan), "plain"
    for text in _landing(proof, plan, units):
        yield "weighs", text, "plain"
    for sought in plan.sought:
        yield "found", said(sought, units), "good"
    for balance in plan.balances[:1]:
        yield "balance", balance_said(balance, units), "plain"
    for text in _fills(plan.fills, units):
        yield "fill", text, "plain"
    if plan.mixes:
        yield "mixes", mixes_text(plan.mixes, units), "plain"
    for text in tenons_of(plan, units):
        yield "tenon", text, "plain"
    for part, mm in proof.walls_mm.items():
        yield "wall", f"{part}: {show_length(mm, units)} at its thinnest", "plain"
    for step, wishes in plan.next_time.items():
        for wish in wishes:
            yield "last job", f"at “{step or 'the start'}”: {wish}", "caution"
    for text in plan.learned.values():
        yield "learned", f"{text} (from earlier jobs, in place of the file's value)", "good"
    for material in plan.materials:
        if material.on_shelf:
            yield "uses", f"{material.role}: {counted(material)}", "plain"
    if none := [f"{t.role} ({t.material})" for t in plan.materials if not t.on_shelf and t.values]:
        yield "~", f"{COMMON_PRACTICE}, for {', '.join(none)}", "dim"


def _makes(plan: Plan, units: Units) -> str:
    n = len(plan.pieces)
    text = f"{n} piece{'' if n == 1 else 's'}"
    goals = dict.fromkeys(
        f"{show_mass(p.target_g, units)} ± {show_mass(p.tolerance_g or 0.0, units)}"
        for p in plan.pieces
        if p.target_g is not None
    )
    if goals:
        text += f", target {' / '.join(goals)}" + (" each" if n > 1 and len(goals) == 1 else "")
    return text + (f", matched within {show_mass(plan.match_g, units)}" if plan.match_g else "")


def _landing(proof: Proof, plan: Plan, units: Units) -> Iterator[str]:
    """Pieces that come to the same weight share a line."""
    by_text: dict[str, list[str]] = {}
    for piece in plan.pieces:
        mass = proof.masses_g.get(piece.name, 0.0)
        if mass > 0.0:
            by_text.setdefault(f"the plan comes to {show_mass(mass, units)}", []).append(piece.name)
    for text, names in by_text.items():
        yield text if len(by_text) == 1 else f"{', '.join(names)}: {text}"


def _fills(fills: Iterable[Fill], units: Units) -> Iterator[str]:
    """Fills that are alike share a line."""
    by_text: dict[str, list[str]] = {}
    for fill in fills:
        by_text.setdefault(fill_text(fill, units), []).append(fill.piece)
    for text, names in by_text.items():
        yield text if len(by_text) == 1 else f"{', '.join(names)}: {text}"


def fill_text(fill: Fill, units: Units) -> str:
    """ "block: void 103.7 ml in 4 layers of 118.1 g shot and 11 g resin, clear cap 3.6 g"."""
    first, n = fill.layers[0], len(fill.layers)
    alike = all(abs(la.shot_g - first.shot_g) < 0.05 for la in fill.layers)
    each = f"{show_mass(first.shot_g, units)} shot and {show_mass(first.resin_g, units)} resin"
    layers = f"{n} layer{'' if n == 1 else 's'} of {each}"
    if not alike:
        shot, resin = (sum(getattr(la, k) for la in fill.layers) for k in ("shot_g", "resin_g"))
        layers = (
            f"{n} layers, in all {show_mass(shot, units)} shot and {show_mass(resin, units)} resin"
        )
    cap = f", clear cap {show_mass(fill.cap_g, units)}" if fill.cap_g else ""
    return f"{fill.where}: void {show_volume(fill.void_ml, units)}, {layers}{cap}, {fill.way}"


def mixes_text(mixes: Iterable[Mix], units: Units) -> str:
    """ "3 cups: 2 of 62 g, 1 of 8.4 g"."""
    counted: dict[str, int] = {}
    for mix in mixes:
        parts = ""
        if mix.b_g:
            parts = f" ({show_mass(mix.a_g, units)} + {show_mass(mix.b_g, units)})"
        text = show_mass(mix.total_g, units) + parts
        counted[text] = counted.get(text, 0) + 1
    n = sum(counted.values())
    each = ", ".join(text if k == 1 else f"{k} of {text}" for text, k in counted.items())
    return f"{n} cup{'' if n == 1 else 's'}: {each}"


def _work(plan: Plan) -> str:
    hands = show_duration(sum(s.hands_s for s in plan.steps))
    text = f"{len(plan.steps)} steps, about {hands} of work"
    if plan.needs:
        text += f"; {len(plan.needs)} things to have ready"
    return text
