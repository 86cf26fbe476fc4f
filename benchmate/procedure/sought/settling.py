"""What is left to be found is found, before a plan is made: the parameters with it in place."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from benchmate.fields.problem import Fault, ProcedureError
from benchmate.plan.plan import Sought
from benchmate.procedure.file.parameters import defaults_of
from benchmate.procedure.sought.aims import Aim, aim_of
from benchmate.procedure.sought.balance import balances_of
from benchmate.procedure.sought.saying import beyond
from benchmate.procedure.sought.search import Outcome, Try, search
from benchmate.procedure.sought.wish import Wish, wishes_of

if TYPE_CHECKING:
    from benchmate.procedure.expanding.expand import Expansion
    from benchmate.procedure.file.document import Document

Values = dict[str, Any]
Expand = Callable[[Values, list[Fault]], "Expansion | None"]
_ALIKE = 1e-6
MOST_ROUNDS = 5
"""A target and a balance move each other less with every round."""


@dataclass(frozen=True)
class Settled:
    """Parameter values with nothing left open, and what was found for them."""

    values: Values
    sought: tuple[Sought, ...] = ()


def settled(
    document: Document, given: Mapping[str, Any], expand: Expand, faults: list[Fault]
) -> Settled:
    """Find what is left open in `given`; what can't be found goes into `faults`.

    `expand` makes a plan of values that leave nothing open. The target is found before the
    balance; where the one moves the other, both are found again until neither does.
    """
    wishes = wishes_of(document.parameters, given, faults)
    if not wishes or faults:
        return Settled(dict(given))
    values = _started(document, given, wishes)
    sought: list[Sought] = []
    for _ in range(MOST_ROUNDS if len(wishes) > 1 else 1):
        before, sought = values, []
        for wish in wishes:
            for piece in _pieces_for(wish, values, expand):
                found = _find(wish, piece, values, expand, faults)
                if found is None:
                    return Settled(values, tuple(sought))
                values = _put(values, wish.name, piece, found[0])
                sought.append(found[1])
        if values == before:
            break
    return Settled(values, tuple(sought))


def _started(document: Document, given: Mapping[str, Any], wishes: list[Wish]) -> Values:
    """The values to begin with: the file's own where something is sought."""
    values, own = dict(given), defaults_of(document.parameters)
    for wish in wishes:
        typed = values.get(wish.name)
        values[wish.name] = (
            {**typed, **dict.fromkeys(wish.pieces, own[wish.name])}
            if isinstance(typed, Mapping)
            else own[wish.name]
        )
    return values


def _put(values: Values, name: str, piece: str, value: Any) -> Values:
    if not piece:
        return {**values, name: value}
    before = values[name]
    return {**values, name: {**(before if isinstance(before, Mapping) else {}), piece: value}}


def _pieces_for(wish: Wish, values: Values, expand: Expand) -> tuple[str, ...]:
    """The pieces it is found for one by one; "" for one value that all share."""
    if wish.pieces:
        return wish.pieces
    if not wish.parameter.per_piece:
        return ("",)
    made = _expanded(values, expand)[0]
    if made is None:
        return ("",)
    aim = aim_of(wish.goal)
    off = [aim.measure(made, p.name) - (aim.wanted(made, p.name) or 0.0) for p in made.plan.pieces]
    alike = max(off, default=0.0) - min(off, default=0.0) < _ALIKE
    return ("",) if alike else tuple(p.name for p in made.plan.pieces)


def _expanded(values: Values, expand: Expand) -> tuple[Expansion | None, list[Fault]]:
    faults: list[Fault] = []
    try:
        made = expand(values, faults)
    except ProcedureError as error:
        faults.extend(Fault((), p.wrong, p.instead) for p in error.problems)
        made = None
    return (None if faults else made), faults


def _find(
    wish: Wish, piece: str, values: Values, expand: Expand, faults: list[Fault]
) -> tuple[Any, Sought] | None:
    """The value and what is to be said of it; None where it can't be found."""
    aim, where = aim_of(wish.goal), ("parameters", wish.name)
    started, own = _expanded(values, expand)
    if started is None:
        faults.extend(own)
        return None
    meant = [piece] if piece else [p.name for p in started.plan.pieces]
    wanted = aim.wanted(started, meant[0])
    if wanted is None:
        faults.append(Fault(where, f"is to be found for the {wish.goal}", aim.missing))
        return None
    thin = _walls(started)

    def attempt(step: int) -> Try[Expansion]:
        made, wrong = _expanded(_put(values, wish.name, piece, wish.value(step)), expand)
        wrong += [w for w in _walls(made) if w.where not in {t.where for t in thin}]
        return Try(step, None if wrong else made, _why(wrong))

    def measure(made: Expansion) -> float:
        return sum(aim.measure(made, p) for p in meant) / len(meant)

    if wish.choices:
        outcome = _nearest_choice(wish, attempt, measure, wanted)
    else:
        outcome = search(*wish.limits, attempt, measure, wanted)
    if outcome.best.made is None or not (outcome.reached or _near(aim, outcome, meant[0], wanted)):
        faults.append(Fault(where, *beyond(wish, aim, outcome, meant[0], wanted)))
        return None
    return wish.value(outcome.best.step), _sought(wish, aim, outcome, meant[0], piece, wanted)


def _nearest_choice(
    wish: Wish,
    attempt: Callable[[int], Try[Expansion]],
    measure: Callable[[Expansion], float],
    wanted: float,
) -> Outcome[Expansion]:
    tries = [attempt(step) for step in range(len(wish.choices))]
    fit = [(abs(measure(t.made) - wanted), t) for t in tries if t.made is not None]
    if not fit:
        return Outcome(tries[0], None, reached=False, limit=tries[0].why)
    return Outcome(min(fit, key=lambda pair: pair[0])[1], None, reached=False)


def _near(aim: Aim, outcome: Outcome[Expansion], piece: str, wanted: float) -> bool:
    """Whether the best there is lies within the goal's own tolerance."""
    assert outcome.best.made is not None
    return abs(aim.measure(outcome.best.made, piece) - wanted) <= aim.tolerance(
        outcome.best.made, piece
    )


def _walls(made: Expansion | None) -> list[Fault]:
    """Walls that are thinner than the file asks for."""
    if made is None:
        return []
    from benchmate.procedure.trade.pours import walls
    from benchmate.procedure.trade.proof import Proof

    return list(walls(Proof(made)))


def _why(faults: list[Fault]) -> str:
    return faults[0].wrong if faults else ""


def _sought(
    wish: Wish, aim: Aim, outcome: Outcome[Expansion], piece: str, only: str, wanted: float
) -> Sought:
    best = outcome.best.made
    assert best is not None
    doubts = aim.doubts(best, piece)
    u = aim.u(best, piece)
    number = None if wish.choices else wish.number(outcome.best.step)
    spread = None
    if outcome.beside is not None and outcome.beside.made is not None and number is not None:
        rise = aim.measure(best, piece) - aim.measure(outcome.beside.made, piece)
        run = number - wish.number(outcome.beside.step)
        spread = abs(u * run / rise) if rise else None
    other = _with_other_shot(wish, outcome, piece) if wish.goal == "target" else None
    return Sought(
        parameter=wish.name,
        ask=wish.parameter.ask or wish.name,
        goal=wish.goal,
        value=str(wish.value(outcome.best.step)),
        number=number,
        unit=wish.unit,
        u=spread,
        piece=only,
        reached=aim.measure(best, piece),
        doubts=doubts,
        wall_mm=_least_wall(best, piece),
        other=other[0] if other else "",
        other_number=other[1] if other else None,
    )


def _least_wall(made: Expansion, piece: str) -> float | None:
    parts = {name: worked for (p, name), worked in made.parts.items() if p == piece}
    found = [
        made.made.wall(piece, n, hollow.name) for n, w in parts.items() for hollow in w.hollows
    ]
    return min((wall.mm for wall in found if wall is not None), default=None)


def _with_other_shot(
    wish: Wish, outcome: Outcome[Expansion], piece: str
) -> tuple[str, float] | None:
    from benchmate.procedure.sought.other_shot import number_with_other_shot

    if outcome.beside is None or wish.unit != "mm":
        return None
    return number_with_other_shot(
        [(wish.number(t.step), t.made) for t in (outcome.best, outcome.beside)], piece
    )


def told(made: Expansion, sought: tuple[Sought, ...]) -> Expansion:
    """The expansion, its plan knowing what was found for it and where its pieces balance."""
    import msgspec

    balances = balances_of(made)
    if not sought and not balances:
        return made
    plan = msgspec.structs.replace(made.plan, sought=sought, balances=balances)
    return replace(made, plan=plan)
