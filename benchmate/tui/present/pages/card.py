"""The job card: every step of every piece, planned against recorded."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from benchmate.job.deciding.to_hand import need_key as need_key
from benchmate.job.deciding.to_hand import need_text
from benchmate.job.events.stored import VerdictRules
from benchmate.job.state.state import JobState, Weighing
from benchmate.job.weights.cups import said_of
from benchmate.job.weights.drift import Remark, judge
from benchmate.job.words.event_text import change_lines
from benchmate.job.words.phrases import amounts_text, piece_label, place_label
from benchmate.landing.verdict import Verdict
from benchmate.landing.words import grams, light_or_heavy
from benchmate.plan.plan import Check, Step
from benchmate.quantities import Units, show_mass
from benchmate.quantities.worded import in_units, show_measured
from benchmate.tui.present.lines import Line, Role, Span, fit, line, spread
from benchmate.tui.present.listing import Item, heading
from benchmate.tui.present.pages.step import limits_text

ROLES: Mapping[Verdict, Role] = {
    Verdict.ON_PLAN: "good",
    Verdict.NEAR_THE_EDGE: "caution",
    Verdict.OFF_PLAN: "spoil",
    Verdict.CANT_TELL: "caution",
}


@dataclass(frozen=True)
class Look:
    """What a card is shown with: remarks, rules, units, and how wall times are said."""

    remarks: Sequence[Remark]
    rules: VerdictRules | None
    units: Units
    when: Callable[[float], str]


def to_hand(job: JobState) -> tuple[int, int]:
    """How many of the needs are laid out, and how many there are."""
    needs = job.plan.needs if job.plan else ()
    return sum(need_key(n) in job.ticked for n in needs), len(needs)


def first_irreversible(job: JobState) -> Step | None:
    """The step before which everything should be laid out."""
    return next((s for s in job.steps.values() if s.irreversible), None)


def next_open(job: JobState) -> Step | None:
    """The first step that is neither done, skipped nor of a spoiled piece."""
    return next((s for s in job.steps.values() if not job.is_settled(s.address)), None)


def card_items(job: JobState, look: Look, cells: int) -> list[Item]:
    """The card's entries. They stand for ("remark", key), ("need", key), ("step", address),
    ("act", version)."""
    there, needed = to_hand(job)
    needs = list(_needs(job))
    out = [*_to_see(job, look, cells), *_from_before(job), *_changes(job)]
    out += needs if there < needed else []
    if job.plan is None:
        return [*out, *_free(job, look, cells), *_notes(job, "", cells)]
    for piece in sorted(dict.fromkeys(s.piece for s in job.steps.values()), key=bool):
        steps = [s for s in job.steps.values() if s.piece == piece]
        done = sum(job.is_settled(s.address) for s in steps)
        title = piece_label(job, piece) if piece else "all pieces"
        why = job.spoiled.get(piece)
        gone = "" if why is None else f", spoiled: {why}" if why else ", spoiled"
        out.append(heading(f"── {title}: {done} of {len(steps)}{gone}"))
        out += [_step(job, s, look, cells) for s in steps]
    return [*out, *_notes(job, "", cells), *(needs if there == needed else ())]


def _to_see(job: JobState, look: Look, cells: int) -> Iterator[Item]:
    unseen = [r for r in look.remarks if not r.seen]
    if unseen:
        yield heading(f"── flagged: {len(unseen)}")
    if len(unseen) > 1:
        yield Item((line(Span("OK all of them", "key")),), ("all flags", ""))
    for remark in unseen:
        role: Role = "spoil" if remark.grave else "caution"
        text = f"! {remark_text(job, remark, look.units)}"
        yield Item((line(Span(text, role)),), ("remark", remark.key))


def remark_text(job: JobState, remark: Remark, units: Units) -> str:
    """Where it was, and what departed from the plan."""
    step = job.steps.get(remark.address.partition(":")[0])
    what = f", {step.act} {_number(remark.address)}".rstrip() if step else ""
    return f"{place_label(job, remark.address)}{what}: {in_units(remark.text, units)}"


def _number(address: str) -> str:
    number = address.partition(":")[0].rpartition("#")[2]
    return number if number not in ("", "1") else ""


def _from_before(job: JobState) -> Iterator[Item]:
    """What earlier jobs said to do differently, and what was learned from them."""
    plan = job.plan
    missed_g = max((p.missed_g for p in plan.pieces), key=abs, default=0.0) if plan else 0.0
    if plan is None or not (plan.next_time or plan.learned or missed_g):
        return
    yield heading("── from earlier jobs")
    for step, texts in plan.next_time.items():
        for text in texts:
            yield Item((line(Span(f"  at “{step or 'the start'}”: {text}", "caution")),))
    for text in plan.learned.values():
        yield Item((line(Span(f"  learned: {text}")),))
    if missed_g:
        off = light_or_heavy(missed_g, 0.1, grams)
        text = f"earlier pieces came out {off}; what a piece will weigh is so much less sure"
        yield Item((line(Span(f"  {text}", "caution")),))


def _needs(job: JobState) -> Iterator[Item]:
    there, needed = to_hand(job)
    if not needed or job.plan is None:
        return
    first = first_irreversible(job)
    before = f", before “{fit(first.do, 44).rstrip()}”" if first and there < needed else ""
    yield heading(f"── have ready: {there} of {needed}{before}")
    if needed - there > 1:
        yield Item((line(Span("All to hand", "key")),), ("all needs", ""))
    for need in job.plan.needs:
        key = need_key(need)
        mark = Span("[✓] ", "good") if key in job.ticked else Span("[ ] ", "caution")
        yield Item((line(mark, need_text(need)),), ("need", key))


def _changes(job: JobState) -> Iterator[Item]:
    for change in job.changes:
        yield heading("── the plan was changed")
        for text in change_lines(change):
            yield Item((line("  ", text),))


def _step(job: JobState, step: Step, look: Look, cells: int) -> Item:
    sign, role = _sign(job, step)
    left = line(Span(f"{sign} ", role), Span(step.do, "plain" if role != "dim" else "dim"))
    right = _recorded(job, step, look, cells)
    lines = [spread(left, right, cells)]
    lines += _below(job, step, look)
    return Item(tuple(lines), ("step", step.address))


def _sign(job: JobState, step: Step) -> tuple[str, Role]:
    if step.address in job.skipped:
        return "–", "dim"
    if step.piece in job.spoiled:
        return "✗", "dim"
    if step.address in job.done:
        return "✓", "good"
    return "·", "plain"


def _recorded(job: JobState, step: Step, look: Look, cells: int) -> Line:
    """What was recorded against what was planned, and when."""
    weighing, done = job.weighing_at(step.address), job.done.get(step.address)
    spans: list[Span | str] = ["  "]
    if weighing is not None:
        spans += _weight(job, step, weighing, look)
    elif step.weigh is not None and step.weigh.plan_g is not None:
        plan, most = step.weigh.plan_g, step.weigh.tolerance_g
        text = f"plan {show_mass(plan, look.units)}"
        spans.append(Span(text + (f" ± {show_mass(most, look.units)}" if most else ""), "dim"))
    elif done is None and step.amounts and cells >= 100:
        spans.append(Span(amounts_text(step, look.units, ", "), "dim"))
    if done is not None:
        spans.append(Span(f"  {look.when(done.done.wall_s)}", "dim"))
    return line(*spans)


def _weight(job: JobState, step: Step, weighing: Weighing, look: Look) -> list[Span | str]:
    point = step.weigh
    gain = point is not None and point.kind == "gain"
    spans: list[Span | str] = [Span(show_mass(weighing.net_g, look.units, sign=gain), "strong")]
    if point is not None and point.plan_g is not None:
        spans.append(Span(f" plan {show_mass(point.plan_g, look.units)} ", "dim"))
    found = judge(job, weighing, look.rules)
    if found is not None:
        spans.append(Span(found.said(), ROLES[found.verdict]))
    return spans


def _below(job: JobState, step: Step, look: Look) -> Iterator[Line]:
    """What else belongs to a step: skipped why, a weight before it was corrected, its checks,
    what has been seen, its notes, what earlier jobs said."""
    if step.address in job.skipped:
        yield line(Span(f"    skipped: {job.skipped[step.address]}", "dim"))
    for old in job.weighings.values():
        if old.address == step.address and old.as_read_g != old.net_g:
            text = f"    corrected; it was recorded as {show_mass(old.as_read_g, look.units)}"
            yield line(Span(text, "caution"))
    if text := said_of(job, step.address, look.units):
        yield line(Span(f"    {text}", "plain"))
    for check in step.checks:
        yield _check(job, step, check, look.units)
    for remark in look.remarks:
        if remark.address.partition(":")[0] == step.address:
            word = "OK’d" if remark.seen else "flagged"
            text = f"    {word}: {in_units(remark.text, look.units)}"
            yield line(Span(text, "dim" if remark.seen else "caution"))
    for item in _notes(job, step.address, 999):
        yield from item.lines


def _check(job: JobState, step: Step, check: Check, units: Units) -> Line:
    record = job.checks.get((step.address, check.name))
    wanted = limits_text(check, units)
    if record is None:
        return line(Span(f"    {check.name}: {wanted}", "dim"))
    said = record.text or show_measured(record.value, check.unit, units)
    return line(f"    {check.name}: ", Span(said, "strong"), Span(f"  ({wanted})", "dim"))


def _notes(job: JobState, address: str, cells: int) -> Iterator[Item]:
    mine = [n.event for n in job.notes if n.event.address == address]
    if mine and not address:
        yield heading("── notes")
    for note in mine:
        photo = f" [photo {note.photo}]" if note.photo else ""
        yield Item((line(Span(f"    note: {note.text}{photo}".replace(":  [", ": ["))),))


def _free(job: JobState, look: Look, cells: int) -> Iterable[Item]:
    """What was done without a plan, in the order in which it was done."""
    found: list[tuple[int, int, Line]] = []
    for record in job.free:
        e = record.event
        what = " ".join(filter(None, (e.act, e.name, f"from {e.material}" if e.material else "")))
        what = ", ".join(filter(None, (what, said_of(job, e.address, look.units))))
        where = f"{e.piece}: " if e.piece else ""
        found.append((e.happened.wall_ns, record.version, line(Span("✓ ", "good"), where, what)))
    for version, w in job.weighings.items():
        what = f"weighed {w.what or w.piece or ''}".rstrip()
        where = f"{w.piece}: " if w.piece and w.what else ""
        was = f"  (recorded as {show_mass(w.as_read_g, look.units)})"
        weight = Span(show_mass(w.net_g, look.units), "strong")
        tail = Span(was if w.as_read_g != w.net_g else "", "caution")
        found.append(
            (w.happened.wall_ns, version, line(Span("✓ ", "good"), where, what, "  ", weight, tail))
        )
    found.sort(key=lambda f: f[:2])
    yield heading(f"── done: {len(found)}")
    for wall_ns, version, left in found:
        right = line("  ", Span(look.when(wall_ns / 1e9), "dim"))
        yield Item((spread(left, right, cells),), ("act", version))
