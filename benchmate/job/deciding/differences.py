"""What a changed plan has otherwise, as facts: pieces, materials, steps, clocks and amounts."""

from __future__ import annotations

from collections.abc import Iterator

import msgspec

from benchmate.job.events.of_jobs import AmountChanged, Difference
from benchmate.plan.plan import Plan, Step

Differences = tuple[tuple[Difference, ...], tuple[AmountChanged, ...]]
HAIR_G = 0.05
HAIR_S = 1.0


def differences(old: Plan, new: Plan, moved: tuple[str, str] | None = None) -> Differences:
    """What a changed plan changes: pieces, targets, materials, steps and clocks; and amounts.
    `moved` is the step that the maker moved, and behind which."""
    facts = (*_pieces(old, new), *_materials(old, new), *_steps(old, new, moved))
    return tuple(facts), tuple(_amounts(old, new))


def _pieces(old: Plan, new: Plan) -> Iterator[Difference]:
    before, after = ({p.name: p for p in plan.pieces} for plan in (old, new))
    for name in [*before, *(n for n in after if n not in before)]:
        if name not in after:
            yield Difference(kind="piece gone", address=name)
        elif name not in before:
            yield Difference(kind="piece added", address=name)
        else:
            one, other = before[name], after[name]
            yield from _grams("target", name, one.target_g, other.target_g)
            yield from _grams("tolerance", name, one.tolerance_g, other.tolerance_g)


def _grams(kind: str, name: str, old: float | None, new: float | None) -> Iterator[Difference]:
    if not alike(old, new):
        yield Difference(kind=kind, address=name, old_number=old, new_number=new, unit="g")


def _materials(old: Plan, new: Plan) -> Iterator[Difference]:
    before, after = ({m.role: m.material for m in plan.materials} for plan in (old, new))
    for role in after:
        if before.get(role, after[role]) != after[role]:
            yield Difference(kind="material", address=role, old=before[role], new=after[role])


def _steps(old: Plan, new: Plan, by_hand: tuple[str, str] | None) -> Iterator[Difference]:
    before, after = ({s.address: s for s in plan.steps} for plan in (old, new))
    # That a piece more, or one fewer, has all its steps goes without saying.
    both = {p.name for p in old.pieces} & {p.name for p in new.pieces} | {""}
    gone = (a for a, s in before.items() if a not in after and s.piece in both)
    yield from (Difference(kind="step gone", address=a) for a in gone)
    for address, step in after.items():
        if address not in before:
            if step.piece in both:
                yield Difference(kind="step added", address=address, new=step.do)
            continue
        if before[address].do != step.do:
            yield Difference(kind="step", address=address, old=before[address].do, new=step.do)
        yield from _clocks(before[address], step)
    common = [a for a in before if a in after]
    order = [a for a in after if a in before]
    moved = [a for a, b in zip(common, order, strict=True) if a != b]
    if by_hand and (moved or not _follows(before.get(by_hand[0]), by_hand[1])):
        yield Difference(kind="order", address=by_hand[0], new=by_hand[1])
    elif moved:
        yield Difference(kind="order", address=moved[0])


def _follows(step: Step | None, behind: str) -> bool:
    return step is not None and behind in step.after


def _clocks(old: Step, new: Step) -> Iterator[Difference]:
    before = {w.name: w for w in old.windows}
    for window in new.windows:
        was = before.get(window.name)
        if was is None:
            continue
        for edge in ("opens_s", "full_s", "closes_s"):
            one, other = getattr(was, edge), getattr(window, edge)
            if not alike(one, other, HAIR_S):
                kind = f"clock {edge.removesuffix('_s')}"
                yield Difference(
                    kind=kind, address=window.address, old_number=one, new_number=other, unit="s"
                )


def _amounts(old: Plan, new: Plan) -> Iterator[AmountChanged]:
    before = {s.address: {a.what: a for a in s.amounts} for s in old.steps}
    for step in new.steps:
        for amount in step.amounts:
            was = before.get(step.address, {}).get(amount.what)
            if was is not None and not alike(was.amount, amount.amount):
                yield AmountChanged(
                    address=step.address,
                    what=amount.what,
                    old=was.amount,
                    new=amount.amount,
                    unit=amount.unit,
                )


def marked_by_hand(
    made: Plan, plan: Plan, found: Differences, moved: tuple[str, str] | None
) -> Differences:
    """What differs, marked where it was asked for beside the plan that was made anew."""
    facts, amounts = differences(made, plan, moved)
    asked = {(f.kind, f.address) for f in facts} | {(a.what, a.address) for a in amounts}
    marked, known = msgspec.structs.replace, {(f.kind, f.address) for f in found[0]}
    found = (*found[0], *(f for f in facts if (f.kind, f.address) not in known)), found[1]
    return (
        tuple(marked(f, by_hand=(f.kind, f.address) in asked) for f in found[0]),
        tuple(marked(a, by_hand=(a.what, a.address) in asked) for a in found[1]),
    )


def alike(one: float | None, other: float | None, hair: float = HAIR_G) -> bool:
    """Whether both are the same but for a hair (a weight's, if not told otherwise), or none."""
    return (one is None) == (other is None) and abs((one or 0.0) - (other or 0.0)) <= hair
