"""What each weigh point should read: blanks, gains, and the piece as it stands."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from math import hypot

from benchmate.fields.problem import Fault
from benchmate.plan.plan import Fill, WeighPoint, scatter_of
from benchmate.procedure.bodies.bodies import Worked
from benchmate.procedure.expanding.instances import Draft
from benchmate.procedure.expanding.placeholders import fill
from benchmate.quantities import QuantityError, parse_mass_g, parse_percent

GAIN_PCT, BLANK_PCT, LEAST_TOLERANCE_G = 3.0, 10.0, 1.0


SHAPED_DOUBT = 0.15
"""Relative doubt of what comes off to the finished sizes (common practice, no source)."""


def takes_and_adds(
    draft: Draft, parts: Mapping[tuple[str, str], Worked]
) -> tuple[float, float, float, float]:
    """Grams that come off and go on with their doubts (a half width, taken as rectangular)."""
    spec = draft.flat.spec
    takes = draft.takes if draft.takes is not None else _takes(draft, parts)
    adds = draft.adds if draft.adds is not None else _with_doubt(spec.adds)
    return (*takes, *adds)


def _takes(draft: Draft, parts: Mapping[tuple[str, str], Worked]) -> tuple[float, float]:
    takes, takes_u = _with_doubt(draft.flat.spec.takes)
    if not draft.flat.spec.to_size:
        return takes, takes_u
    off = sum(w.off_g for w in _shaped(draft, parts))
    return takes + off, hypot(takes_u, SHAPED_DOUBT * off)


def take_over(
    draft: Draft, parts: Mapping[tuple[str, str], Worked], learned: Mapping[str, float]
) -> None:
    """Let what earlier jobs taught of this act's weight stand in place of the file's."""
    takes, takes_u, adds, adds_u = takes_and_adds(draft, parts)
    if takes and (value := learned.get(key := f"takes/{draft.flat.key}")) is not None:
        draft.takes = (value, learned.get(scatter_of(key), takes_u))
    if adds and (value := learned.get(key := f"adds/{draft.flat.key}")) is not None:
        draft.adds = (value, learned.get(scatter_of(key), adds_u))


def _with_doubt(given: tuple[float, float | None] | None) -> tuple[float, float]:
    if given is None:
        return 0.0, 0.0
    return given[0], (given[1] or 0.0) / 3**0.5


def _shaped(draft: Draft, parts: Mapping[tuple[str, str], Worked]) -> list[Worked]:
    """The parts and bodies that a step brings to size: those it names, else all of its piece."""
    mine = {n: w for (p, n), w in parts.items() if p == draft.piece}
    names = (draft.part,) if draft.part else draft.flat.spec.part or tuple(mine)
    return [mine[n] for n in names if n in mine]


def worked_on(draft: Draft, parts: Mapping[tuple[str, str], Worked]) -> list[Worked]:
    """The parts that a step is done to, those of a body one by one; all where it names none."""
    mine = {n: w for (p, n), w in parts.items() if p == draft.piece}
    names = (draft.part,) if draft.part else draft.flat.spec.part or tuple(mine)
    named = dict.fromkeys(m for n in names if n in mine for m in (n, *mine[n].built))
    return [mine[n] for n in named]


def work_out_weights(
    drafts: Iterable[Draft],
    parts: Mapping[tuple[str, str], Worked],
    fills: Iterable[Fill],
) -> None:
    """Fill in every draft's planned weight, in the order of the plan."""
    gains = _gains(fills)
    stands: dict[str, float] = {}
    for (piece, _), worked in parts.items():
        stands[piece] = stands.get(piece, 0.0) + worked.mass_g
    # A piece whose parts the file doesn't give weighs nobody knows what, and not nothing.
    known = set(stands)
    changes: dict[tuple[str, str], float] = {}
    for draft in drafts:
        gain = gains.get(draft.address, draft.numbers.get("resin of cap", 0.0))
        takes, _, adds, _ = takes_and_adds(draft, parts)
        for owner in _owners(draft, parts):
            changes[owner] = changes.get(owner, 0.0) + float(gain) + adds - takes
        for piece in [draft.piece] if draft.piece else list(stands):
            stands[piece] = stands.get(piece, 0.0) + float(gain) + adds - takes
        weigh = draft.flat.spec.weigh
        if weigh is None:
            continue
        if weigh.as_ in ("blank", "part"):
            worked_part = parts.get((draft.piece, draft.part))
            draft.plan_g = worked_part.mass_g if worked_part else None
            if worked_part is not None and worked_part.built:
                wood = sum(w.mass_g for w in worked_on(draft, parts))
                draft.plan_g = wood + changes.get((draft.piece, draft.part), 0.0)
        elif weigh.as_ == "gain":
            draft.plan_g = float(gain) + adds - takes
        elif draft.piece in known:
            draft.plan_g = stands[draft.piece]


def _owners(draft: Draft, parts: Mapping[tuple[str, str], Worked]) -> Iterator[tuple[str, str]]:
    """The bodies whose weight a step changes: it works on them or on parts of theirs alone."""
    names = {draft.part} if draft.part else set(draft.flat.spec.part)
    for (piece, name), worked in parts.items():
        if piece == draft.piece and worked.built and names and names <= {name, *worked.built}:
            yield piece, name


def _gains(fills: Iterable[Fill]) -> dict[str, float]:
    return {la.address: la.shot_g + la.resin_g for fill in fills for la in fill.layers}


def weigh_point(
    draft: Draft,
    parts: Mapping[tuple[str, str], Worked],
    piece_tolerance_g: float | None,
    faults: list[Fault],
) -> WeighPoint | None:
    """The draft's weigh point, None where it has none."""
    weigh = draft.flat.spec.weigh
    if weigh is None:
        return None
    plan = weigh.plan if weigh.plan is not None else draft.plan_g
    tolerance = _tolerance(draft, weigh.tolerance, weigh.as_, plan, piece_tolerance_g, faults)
    worked = parts.get((draft.piece, draft.part))
    meaning = {"blank": "blank", "part": "part", "gain": "fill", "whole": "whole"}[weigh.as_]
    if weigh.as_ == "blank" and worked is not None and not worked.hollows:
        meaning = "part"
    return WeighPoint(
        kind="gain" if weigh.as_ == "gain" else "whole",
        plan_g=plan,
        tolerance_g=tolerance,
        what=_what(draft) or draft.part or meaning,
        weighed=meaning,  # type: ignore[arg-type]
    )


def _what(draft: Draft) -> str:
    assert draft.flat.spec.weigh is not None
    numbers = {n: v for n, v in draft.numbers.items() if isinstance(v, str)}
    return fill(draft.flat.spec.weigh.what, numbers.get)


def _tolerance(
    draft: Draft,
    text: str,
    kind: str,
    plan: float | None,
    piece_g: float | None,
    faults: list[Fault],
) -> float | None:
    if text:
        try:
            if "%" in text:
                return None if plan is None else plan * parse_percent(text) / 100.0
            return parse_mass_g(text)
        except QuantityError as error:
            faults.append(Fault.said((*draft.flat.where, "weigh", "tolerance"), error))
            return None
    if plan is None:
        return None
    if kind == "whole" and piece_g is not None:
        return piece_g
    pct = GAIN_PCT if kind == "gain" else BLANK_PCT
    return max(LEAST_TOLERANCE_G, plan * pct / 100.0)
