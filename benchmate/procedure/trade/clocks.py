"""Windows that can't be met."""

from __future__ import annotations

from collections.abc import Iterator

from benchmate.fields.problem import Fault
from benchmate.plan.plan import Step, Window
from benchmate.procedure.trade.proof import QUICK, SHORT_HOLD, Proof
from benchmate.quantities import show_duration


def edges(proof: Proof) -> Iterator[Fault]:
    """Windows that close before they open, are full before they open, or have no edge at all."""
    for step in proof.steps.values():
        for window in step.windows:
            wrong = _wrong_edges(window)
            if wrong:
                at = proof.flat(step)
                number = next(
                    (i for i, w in enumerate(at.spec.windows) if w.name == window.name), None
                )
                own = number is not None and not at.block
                where = (*at.where, "windows", number or 0) if own else at.where
                yield Fault(where, f"the window “{window.name}” {wrong}", _right_edges(window))


def _wrong_edges(window: Window) -> str:
    opens, full, closes = window.opens_s, window.full_s, window.closes_s
    if opens is None and full is None and closes is None and window.hold_s is None:
        return "has no time"
    if opens is not None and closes is not None and closes <= opens:
        said = f"closes after {show_duration(closes)}"
        return f"{said}, before it opens after {show_duration(opens)}"
    if opens is not None and full is not None and full < opens:
        return f"is full after {show_duration(full)}, before it opens after {show_duration(opens)}"
    return ""


def _right_edges(window: Window) -> str:
    return "write opens, full and closes in rising order, all counted from the act"


def never(proof: Proof) -> Iterator[Fault]:
    """Steps that wait for a window that only closes: they would wait for ever."""
    every = {w.address: w for s in proof.steps.values() for w in s.windows}
    for step in proof.steps.values():
        for key, waits in (("waits", step.waits), ("waits_full", step.waits_full)):
            for window in (every[a] for a in waits if a in every):
                opens = (window.opens_s, window.full_s, window.hold_s)
                if all(edge is None for edge in opens):
                    wrong = f"the window “{window.name}” never opens, it only closes: this waits "
                    instead = f'write within = "{window.name}"'
                    yield Fault(proof.where(step, key), f"{wrong}for ever", instead)


def short_hold(proof: Proof) -> Iterator[Fault]:
    """The maker's own rule where it is shorter than what the label says."""
    for step in proof.steps.values():
        for window in step.windows:
            label = window.opens_s if window.opens_s is not None else window.full_s
            if window.hold_s is None or label is None or window.hold_s >= label:
                continue
            wrong = (
                f"{show_duration(window.hold_s)} is shorter than “{window.name}” by the label, "
                f"{show_duration(label)}"
            )
            instead = "write at least that, or leave hold out"
            yield Fault(proof.of_use(step, "hold"), wrong, instead, SHORT_HOLD)


def hands(proof: Proof) -> Iterator[Fault]:
    """Hands-on work that is longer than the window it must be done in."""
    every = {w.address: w for s in proof.steps.values() for w in s.windows}
    for step in proof.steps.values():
        for address in step.within:
            window = every.get(address)
            from_cup = step.mix and address.startswith(step.mix)
            if window is None or window.closes_s is None or from_cup:
                continue
            room = window.closes_s - (window.opens_s or 0.0)
            if step.hands_s > room:
                wrong = (
                    f"{show_duration(step.hands_s)} of work doesn't fit into “{window.name}”, "
                    f"{show_duration(room)}"
                )
                instead = "split it, or name a slower material"
                yield Fault(proof.where(step, "hands"), wrong, instead, QUICK)


def cups(proof: Proof) -> Iterator[Fault]:
    """A cup that gels before its pours are poured."""
    for mix in proof.of.plan.mixes:
        step = proof.steps[mix.address]
        lives = [w.closes_s for w in step.windows if w.closes_s is not None]
        pours = [proof.steps[a] for a in mix.serves]
        work = sum(s.hands_s for s in pours)
        if lives and pours and work > min(lives):
            wrong = (
                f"{show_duration(work)} of pouring from one cup is longer than its pot life, "
                f"{show_duration(min(lives))}"
            )
            yield Fault(proof.where(pours[0], "hands"), wrong, _smaller(pours), QUICK)


def _smaller(pours: list[Step]) -> str:
    return "pour thinner layers, or name a slower resin" if len(pours) == 1 else "use two cups"
