"""The windows of each step: from its materials' labels and from the file itself."""

from __future__ import annotations

from dataclasses import dataclass

from benchmate.fields.problem import Fault
from benchmate.nearest import advice
from benchmate.plan.address import slug, window_address
from benchmate.plan.plan import Consequence, Window
from benchmate.plan.rates import Rule
from benchmate.procedure.expanding.instances import Draft
from benchmate.procedure.expanding.roles import Roles
from benchmate.procedure.file.flat import FlatStep
from benchmate.procedure.file.schema import FileWindow
from benchmate.shelf.clocks import window_of
from benchmate.shelf.material import COMMON_PRACTICE, EDGES, LabelWindow

FROM_FILE = "this procedure"
_MISSED: dict[str, Consequence] = {
    "nothing": "nothing",
    "extra work": "extra work",
    "spoils the mix": "spoils mix",
    "spoils mix": "spoils mix",
    "spoils the joint": "spoils joint",
    "spoils joint": "spoils joint",
    "spoils the coat": "spoils coat",
    "spoils coat": "spoils coat",
    "spoils the piece": "spoils piece",
    "spoils piece": "spoils piece",
}


@dataclass(frozen=True)
class Brought:
    """A label window that a step's act starts."""

    role: str
    window: LabelWindow


def brought_by(flat: FlatStep, roles: Roles) -> list[Brought]:
    """The windows that a step's materials bring, each name once; its own windows come before
    them."""
    found: dict[str, Brought] = {}
    wanted = flat.spec.brings
    own = {slug(w.name) for w in flat.spec.windows}
    for role in flat.spec.material:
        for window in roles.windows(role, flat.act):
            name = slug(window.name)
            if (wanted is None or name in map(slug, wanted)) and name not in own:
                found.setdefault(name, Brought(role, window))
    return list(found.values())


def window_names(flat: FlatStep, roles: Roles) -> dict[str, str]:
    """All windows a step starts: as addresses have them, and as people write them."""
    names = [w.name for w in flat.spec.windows]
    names += [b.window.name for b in brought_by(flat, roles)]
    return {slug(name): name for name in names}


def check_brought(flat: FlatStep, roles: Roles, faults: list[Fault]) -> None:
    """Windows that a step wants of its material and that the material hasn't got."""
    known = {slug(w.name): w.name for r in flat.spec.material for w in roles.windows(r, flat.act)}
    lacking = any(role in roles.lacks for role in flat.spec.material)
    for name in flat.spec.brings or () if not lacking else ():
        if slug(name) not in known:
            wrong = f"its material starts no window “{name[:60]}” when {flat.act}"
            faults.append(Fault((*flat.where, "brings"), wrong, advice(name, known.values())))


def check_anchors(flat: FlatStep, faults: list[Fault]) -> None:
    """Windows that are said to start from an act that isn't their step's."""
    for number, item in enumerate(flat.spec.windows):
        if item.from_ and item.from_ not in ("begun", "done", flat.act):
            where = (*flat.where, *(() if flat.block else ("windows", number, "from")))
            wrong = f"this step's act is “{flat.act}”, not “{item.from_[:40]}”"
            faults.append(Fault(where, wrong, f'write from = "{flat.act}", or "begun"'))


def start_windows(draft: Draft, roles: Roles, label: str, faults: list[Fault]) -> None:
    """Put the draft's windows in, under their addresses."""
    flat = draft.flat
    for item in flat.spec.windows:
        draft.windows.append(_of_file(draft, item, label, faults))
    total = draft.numbers.get("cup total")
    mass = total if isinstance(total, float) else None
    for brought in brought_by(flat, roles):
        material = roles.material(brought.role)
        assert material is not None
        roles.use(brought.role, brought.window)
        shut = roles.never_opens(brought.role, brought.window)
        if shut is not None and flat.spec.hold is None and shut not in faults:
            faults.append(shut)
        made = window_of(material, brought.window, mass)
        draft.windows.append(_named(draft, made, label, flat.spec.hold))


def _named(draft: Draft, window: Window, label: str, hold_s: float | None) -> Window:
    import msgspec

    opens = window.opens_s is not None or window.full_s is not None
    return msgspec.structs.replace(
        window,
        address=window_address(draft.address, slug(window.name)),
        label=f"{label}, {window.name}",
        hold_s=hold_s if opens else None,
    )


def _of_file(draft: Draft, item: FileWindow, label: str, faults: list[Fault]) -> Window:
    missed, text = missed_of(item.missed)
    if missed is None:
        wrong = f"“{item.missed[:60]}” is no consequence"
        known = ["nothing", "extra work: scuff first", "spoils the joint", "spoils the mix"]
        where = draft.flat.where
        if not draft.flat.block:
            where = (*where, "windows", draft.flat.spec.windows.index(item), "missed")
        faults.append(Fault(where, wrong, advice(item.missed, known)))
    edges = [e for e in (item.opens, item.full, item.closes) if e is not None]
    at_c = next((e.temperature_c for e in edges if e.temperature_c is not None), None)
    source = COMMON_PRACTICE if draft.flat.block else FROM_FILE
    return Window(
        name=item.name,
        address=window_address(draft.address, slug(item.name)),
        label=f"{label}, {item.name}",
        anchor="begun" if item.from_ == "begun" else "done",
        opens_s=item.opens.duration_s if item.opens else None,
        full_s=item.full.duration_s if item.full else None,
        closes_s=item.closes.duration_s if item.closes else None,
        opens_text=item.says,
        closes_text=item.lost,
        at_c=at_c,
        rough=EDGES if draft.flat.block else (),
        rule=Rule(family=item.air or "constant", ref_c=at_c),
        missed=missed or "nothing",
        missed_text=text,
        # The step's own rule is for its material's window, where it takes one.
        hold_s=item.hold or (None if draft.flat.spec.material else draft.flat.spec.hold),
        source=source,
    )


def missed_of(text: str) -> tuple[Consequence | None, str]:
    """ "extra work: scuff first" as consequence and words; None where it is none."""
    head, _, words = text.partition(":")
    return _MISSED.get(head.strip().casefold()), words.strip()
