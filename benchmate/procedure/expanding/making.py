"""Drafts to the plan's frozen steps."""

from __future__ import annotations

from collections.abc import Mapping

from benchmate.fields.problem import Fault
from benchmate.plan.plan import Check, Fill, Step
from benchmate.procedure.bodies.bodies import Worked
from benchmate.procedure.bodies.weights import takes_and_adds, weigh_point
from benchmate.procedure.expanding.clocks import start_windows
from benchmate.procedure.expanding.facts import (
    each_of,
    holdings,
    is_dusty,
    is_noisy,
    short_of,
    wet_s,
)
from benchmate.procedure.expanding.hazards import hazards_of
from benchmate.procedure.expanding.instances import Draft, Layout
from benchmate.procedure.expanding.placeholders import fill, names_in
from benchmate.procedure.expanding.roles import Roles
from benchmate.quantities import (
    QuantityError,
    parse_limits,
    parse_toleranced,
    show_duration,
    show_number,
)

HANDS_S = 300.0
_CHECKED = (
    ("length", "mm", 1.0),
    ("mass", "g", 1.0),
    ("temperature", "°C", 1.0),
    ("percent", "%", 1.0),
    ("duration", "min", 1.0 / 60.0),
)


def label_of(draft: Draft, noun: str) -> str:
    """What a window of this act is called before its own name: "cup 2", "bookend A layer 3"."""
    if draft.scope == "mix":
        return f"cup {draft.n}" if draft.last > 1 else "cup"
    words = [f"{noun} {draft.piece}".strip() if draft.piece else ""]
    if draft.scope in ("layer", "coat"):
        words += [draft.where] if draft.several else []
        words.append(f"{draft.scope} {draft.n}")
    elif draft.scope == "part":
        words.append(draft.where)
    return " ".join(w for w in words if w) or draft.flat.local.replace("-", " ")


def start_all_windows(
    layout: Layout, roles: Roles, nouns: Mapping[str, str], faults: list[Fault]
) -> None:
    """Put every draft's windows in."""
    for drafts in layout.of.values():
        for draft in drafts:
            noun = nouns.get(draft.piece, "")
            start_windows(draft, roles, label_of(draft, noun), faults)


def prune_windows(layout: Layout) -> None:
    """Drop what an early layer or coat starts and nobody waits for: the last one's counts."""
    used = {
        a for ds in layout.of.values() for d in ds for a in (*d.waits, *d.waits_full, *d.within)
    }
    for drafts in layout.of.values():
        for draft in drafts:
            if draft.n < draft.last and draft.scope in ("layer", "coat"):
                draft.windows = [w for w in draft.windows if w.address in used]


def numbers_of(draft: Draft, roles: Roles) -> None:
    """Numbers that sentences and checks may name, but for weights."""
    words: dict[str, float | str] = {
        "piece": draft.piece,
        "part": draft.part or " and ".join(draft.flat.spec.part),
        "which void": _void_of(draft),
        "in which void": f" in the {draft.where}" if draft.several else "",
        **dict.fromkeys(("layer", "coat"), str(draft.n)),
        **dict.fromkeys(("layers", "coats"), str(draft.last)),
    }
    draft.numbers = words | draft.numbers
    times = [
        w.closes_s
        for r in draft.flat.spec.material
        for act in ("spread", "closed")
        for w in roles.windows(r, act)
        if w.closes_s is not None
    ]
    if not times:
        lives = [w.closes_s for r in draft.flat.spec.material for w in roles.windows(r, "mixed")]
        times = [min(t for t in lives if t is not None)] if any(lives) else []
    if times:
        draft.numbers["time to close"] = show_duration(sum(times), rounding="down")


def _void_of(draft: Draft) -> str:
    if not draft.several:
        return "void"
    return draft.where if draft.void else f"void of the {draft.part}"


def step_of(
    draft: Draft,
    roles: Roles,
    parts: Mapping[tuple[str, str], Worked],
    fills: list[Fill],
    tolerance_g: float | None,
    faults: list[Fault],
) -> Step:
    """The frozen step."""
    flat, spec = draft.flat, draft.flat.spec
    takes, takes_u, adds, adds_u = takes_and_adds(draft, parts)
    return Step(
        address=draft.address,
        do=_said(draft, spec.do),
        act=flat.act,
        piece=draft.piece,
        part=draft.part,
        void=draft.void,
        scope=draft.scope,
        after=tuple(draft.after),
        waits=tuple(draft.waits),
        waits_full=tuple(draft.waits_full),
        within=tuple(draft.within),
        hands_s=HANDS_S if spec.hands is None else spec.hands,
        amounts=tuple(draft.amounts),
        weigh=weigh_point(draft, parts, tolerance_g, faults),
        checks=_checks(draft, roles, faults),
        takes_g=takes,
        takes_u_g=takes_u,
        adds_g=adds,
        adds_u_g=adds_u,
        cautions=_cautions(draft, roles, hazards_of(draft, parts, fills)),
        windows=tuple(draft.windows),
        mix=draft.mix.address if draft.mix else "",
        block=flat.block,
        file_step=flat.key,
        rag=spec.rags or any(_leaves_rags(roles, r, flat.act) for r in spec.material),
        irreversible=spec.irreversible,
        minimum_c=_coldest(draft, roles),
        short=short_of(draft),
        each_of=each_of(draft),
        holds=holdings(draft),
        set_up_s=spec.set_up,
        clean_up_s=spec.clean_up,
        dusty=is_dusty(draft),
        wet_s=wet_s(draft),
        noisy=is_noisy(draft),
        may_stop=spec.may_stop,
        round_mm=spec.round,
    )


def _coldest(draft: Draft, roles: Roles) -> float | None:
    """Below what the act can't be done: the file's word, or its glue's or film's where cold spoils.

    An epoxy or an oil in the cold is only late; its windows know their lowest temperature.
    """
    spec = draft.flat.spec
    if spec.coldest is not None:
        return spec.coldest
    known = [roles.value(r, "lowest_c") for r in spec.material if _bears_no_cold(draft, roles, r)]
    return max((c for c in known if c is not None), default=None)


def _bears_no_cold(draft: Draft, roles: Roles, role: str) -> bool:
    material = roles.material(role)
    families = [w.air or (material and material.air) for w in roles.windows(role, draft.flat.act)]
    return "waterborne" in families


def _leaves_rags(roles: Roles, role: str, act: str) -> bool:
    material = roles.material(role)
    return material is not None and material.rags and act in ("coated", "wiped", "rubbed")


def _cautions(draft: Draft, roles: Roles, hazards: list[str]) -> tuple[str, ...]:
    names = [*draft.flat.spec.caution, *hazards]
    for role in draft.flat.spec.material:
        material = roles.material(role)
        if material is not None and (roles.windows(role, draft.flat.act) or draft.amounts):
            names += material.cautions
    return tuple(dict.fromkeys(names))


def _said(draft: Draft, text: str) -> str:
    def say(name: str) -> str | None:
        value = draft.numbers.get(name)
        if isinstance(value, float):
            return f"{show_number(value, 0 if value >= 100 else 1)} g"
        return value

    return fill(text, say)


def _checks(draft: Draft, roles: Roles, faults: list[Fault]) -> tuple[Check, ...]:
    found = [_check(draft, n, t, roles, faults) for n, t in draft.flat.spec.check.items()]
    return tuple(c for c in found if c is not None)


def _limits(kind: str, said: str) -> tuple[float | None, float | None]:
    if "±" not in said and "+/-" not in said:
        return parse_limits(kind, said)
    value, tolerance = parse_toleranced(kind, said)
    return value - (tolerance or 0.0), value + (tolerance or 0.0)


def _check(draft: Draft, name: str, text: str, roles: Roles, faults: list[Fault]) -> Check | None:
    said = _said(draft, text)
    if said.rstrip().endswith("?"):
        return Check(name=name, ask=said)
    for kind, unit, factor in _CHECKED:
        try:
            least, most = _limits(kind, said)
        except (QuantityError, KeyError):
            continue
        return Check(
            name=name,
            ask=f"{name[:1].upper()}{name[1:]}: {said}",
            unit=unit,
            at_least=None if least is None else least * factor,
            at_most=None if most is None else most * factor,
        )
    unknown = names_in(said)
    if unknown:
        if not roles.lacks:
            wrong = f"“{unknown[0]}” isn't known at this step"
            instead = "name the material or the part that gives it"
            faults.append(Fault((*draft.flat.where, "check", name), wrong, instead))
        return None
    wrong = f"“{said[:60]}” is no check"
    instead = 'write "at least 3 mm", "at most 10 min" or a question that ends with ?'
    faults.append(Fault((*draft.flat.where, "check", name), wrong, instead))
    return None
