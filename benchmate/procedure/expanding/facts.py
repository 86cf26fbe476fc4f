"""What a dated plan and a printed card need of a step: titles, what it holds, dust and noise."""

from __future__ import annotations

from collections.abc import Collection

from benchmate.plan.plan import Holding
from benchmate.procedure.cautions import BY_ACT
from benchmate.procedure.expanding.instances import COUNTED, Draft
from benchmate.procedure.expanding.placeholders import fill, names_in

DUST = ("wood dust", "irritating wood", "part-cured epoxy dust")
MACHINES = (
    "rotating machines",
    "buffing wheel",
    "heavy on the lathe",
    "round stock on a bandsaw",
    "drilling brass",
    "routing a deep void",
)
LAID_ON = ("coated", "waxed", "poured", "capped")
LONGEST_WET_S = 6 * 3600.0
"""After this a film takes no more harm from dust (common practice, no source)."""


def is_dusty(draft: Draft) -> bool:
    """As the file says, or as its cautions do."""
    said = draft.flat.spec.dusty
    return _has_any(draft, DUST) if said is None else said


def is_noisy(draft: Draft) -> bool:
    """As the file says, or as its cautions do."""
    said = draft.flat.spec.noisy
    return _has_any(draft, MACHINES) if said is None else said


def _has_any(draft: Draft, cautions: Collection[str]) -> bool:
    """Whether the step names one of these cautions, or its act brings one."""
    own = (*draft.flat.spec.caution, *BY_ACT.get(draft.flat.act, ()))
    return any(c in cautions for c in own)


def wet_s(draft: Draft) -> float:
    """How long dust spoils what was laid on: as the file says, or until its windows have opened."""
    if draft.flat.spec.wet is not None:
        return draft.flat.spec.wet
    if draft.flat.act not in LAID_ON:
        return 0.0
    opens = (w.opens_s for w in draft.windows if w.opens_s is not None)
    return min(max(opens, default=0.0), LONGEST_WET_S)


def holdings(draft: Draft) -> tuple[Holding, ...]:
    """What it takes, each until the step that gives it back."""
    until = draft.until.address if draft.until else ""
    return tuple(Holding(what=w, count=n, until=until) for w, n in draft.flat.spec.holds.items())


def short_of(draft: Draft) -> str:
    """Its title: the file's, or its name with its part, layer or coat."""
    spec = draft.flat.spec
    if spec.short:
        title = _filled(spec.short, draft)
        return f"{title}, {draft.where}" if draft.several else title
    name = draft.flat.local.replace("-", " ")
    if draft.scope in COUNTED and draft.last > 1:
        return f"{name}, {draft.scope} {draft.n}"
    return f"{name}, {draft.where}" if draft.scope == "part" and draft.part else name


def each_of(draft: Draft) -> str:
    """The sentence for all acts like it together; empty where it is one act for each piece."""
    spec = draft.flat.spec
    several_parts = draft.scope == "part" and len(spec.part) > 1
    if draft.last < 2 and not several_parts:
        return ""
    if spec.each_of:
        return _filled(spec.each_of, draft)
    together = dict.fromkeys(("layer", "coat", "cup"), f"1 to {draft.last}")
    together["part"] = " and ".join(spec.part) if several_parts else draft.part
    said = fill(spec.do, lambda name: together.get(name))
    # Amounts differ from one to the next: there is no one sentence for them.
    if any(isinstance(draft.numbers.get(name), float) for name in names_in(said)):
        return ""
    return _filled(said, draft)


def _filled(text: str, draft: Draft) -> str:
    return fill(text, lambda name: _word(draft, name))


def _word(draft: Draft, name: str) -> str | None:
    value = draft.numbers.get(name)
    return value if isinstance(value, str) else None
