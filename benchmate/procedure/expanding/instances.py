"""Steps laid out over pieces, parts, layers and coats: a draft for every press of the glove key."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import groupby

from benchmate.plan.address import address, place_of
from benchmate.plan.plan import Amount, Window, where_of
from benchmate.procedure.bodies.bodies import voids_named
from benchmate.procedure.file.document import Sheet
from benchmate.procedure.file.flat import FlatStep
from benchmate.procedure.file.schema import Each, Head, Scope

COUNTED = ("layer", "coat")
OF_A_VOID = ("layer", "void")
"""Acts that are done to each void of the parts they name."""


@dataclass(eq=False)
class Draft:
    """One step of the plan in the making."""

    flat: FlatStep
    piece: str
    part: str
    n: int
    last: int
    """The greatest n of its kind."""
    void: str = ""
    several: bool = False
    """One of several voids (parts) that such an act is done to in a piece."""
    address: str = ""
    numbers: dict[str, float | str] = field(default_factory=dict)
    amounts: list[Amount] = field(default_factory=list)
    adds: tuple[float, float] | None = None
    """Grams and doubt, where they aren't as the file says: by an area, or learned."""
    takes: tuple[float, float] | None = None
    after: dict[str, None] = field(default_factory=dict)
    waits: dict[str, None] = field(default_factory=dict)
    waits_full: dict[str, None] = field(default_factory=dict)
    within: dict[str, None] = field(default_factory=dict)
    windows: list[Window] = field(default_factory=list)
    mix: Draft | None = None
    until: Draft | None = None
    """The act that gives back what this one holds."""
    pieces: frozenset[str] = frozenset()
    """Of a cup: the pieces that it serves."""
    plan_g: float | None = None

    @property
    def scope(self) -> Scope:
        """What it is an act of, as the plan has it."""
        scope = scope_of(self.flat)
        if scope == "void":
            return "part" if self.several else "piece"
        return scope

    @property
    def target(self) -> tuple[str, str]:
        """The part and the void that it is done to."""
        return self.part, self.void

    @property
    def where(self) -> str:
        """The same in words."""
        return where_of(self.part, self.void)

    def own(self, others: list[Draft]) -> list[Draft]:
        """Those of the same void or part, where there are such; else all."""
        if not self.part:
            return others
        mine = [d for d in others if d.part == self.part] or others
        return [d for d in mine if d.void == self.void] or mine if self.void else mine


def scope_of(flat: FlatStep) -> Each:
    """As the step says, or as it looks."""
    if flat.spec.each is not None:
        return flat.spec.each
    if flat.spec.serves:
        return "mix"
    return "coat" if flat.spec.count > 1 else "piece"


def segments(flats: Sequence[FlatStep]) -> list[list[FlatStep]]:
    """Steps of one block together: a joint is closed and clamped before the next is spread."""
    return [list(group) for _, group in groupby(flats, key=lambda f: f.group)]


def rounds(flats: Iterable[FlatStep]) -> list[list[FlatStep]]:
    """Counted steps that follow each other go round by round: oil and wipe, oil and wipe."""

    def kind(flat: FlatStep) -> tuple[str, int]:
        scope = scope_of(flat)
        return (scope, flat.spec.count) if scope in COUNTED else (flat.key, 0)

    return [list(group) for _, group in groupby(flats, key=kind)]


class Layout:
    """All drafts but those of cups, and ways to find them."""

    def __init__(self, job: str, sheets: Mapping[str, Sheet]) -> None:
        self.job = job
        self.sheets = sheets
        self.pieces = list(sheets)
        self.flats: list[FlatStep] = list(next(iter(sheets.values())).steps)
        self.of: dict[str, list[Draft]] = {}
        """Step key to its drafts."""
        for sheet in sheets.values():
            known = {f.key for f in self.flats}
            self.flats += [f for f in sheet.steps if f.key not in known]
        for flat in self.flats:
            self.of[flat.key] = []

    def add(self, draft: Draft) -> Draft:
        """Take in a draft under its address."""
        place = place_of(draft.part, draft.void)
        draft.address = address(self.job, draft.piece, place, draft.flat.key, draft.n)
        self.of[draft.flat.key].append(draft)
        return draft

    def flat_of(self, key: str, piece: str) -> FlatStep | None:
        """The step as this piece's parameters have it; None where this piece has no such step."""
        return next((f for f in self.sheets[piece].steps if f.key == key), None)

    def ordered(self) -> list[Draft]:
        """All drafts but cups and what pours from them, segment by segment, piece by piece."""
        return [d for segment in segments(self.flats) for d in self.of_segment(segment)]

    def of_segment(self, segment: Sequence[FlatStep]) -> list[Draft]:
        """The drafts of one segment in the order they are best worked in."""
        shared = [d for f in segment for d in self.of[f.key] if not d.piece]
        drafts = []
        for piece in self.pieces:
            for run in rounds(segment):
                mine = [d for f in run for d in self.of[f.key] if d.piece == piece]
                drafts += sorted(mine, key=lambda d: d.n) if len(run) > 1 else mine
        return _merged(shared, drafts, segment)


def _merged(shared: list[Draft], drafts: list[Draft], segment: Sequence[FlatStep]) -> list[Draft]:
    """Whole-job steps before the pieces' where they stand before them in the file."""
    if not shared:
        return drafts
    place = {f.key: i for i, f in enumerate(segment)}
    first = min((place[d.flat.key] for d in drafts), default=0)
    early = [d for d in shared if place[d.flat.key] < first]
    return [*early, *drafts, *(d for d in shared if d not in early)]


def lay_out(job: str, sheets: Mapping[str, Sheet]) -> Layout:
    """The drafts of every step but the mixes."""
    layout = Layout(job, sheets)
    for flat in layout.flats:
        if scope_of(flat) == "mix":
            continue
        if scope_of(flat) == "job":
            layout.add(Draft(flat, "", "", 1, 1))
            continue
        for piece in layout.pieces:
            own = layout.flat_of(flat.key, piece)
            if own is not None:
                _lay_out_piece(layout, own, piece)
    return layout


def _lay_out_piece(layout: Layout, flat: FlatStep, piece: str) -> None:
    parts = flat.spec.part
    if scope_of(flat) == "part":
        for part in parts or ("",):
            layout.add(Draft(flat, piece, part, 1, 1))
        return
    targets = _targets(flat, layout.sheets[piece].head)
    last = flat.spec.count if scope_of(flat) in COUNTED else 1
    for part, void in targets:
        for n in range(flat.spec.first, last + 1):
            layout.add(Draft(flat, piece, part, n, last, void, len(targets) > 1))


def _targets(flat: FlatStep, head: Head) -> list[tuple[str, str]]:
    """The parts and voids that an act is done to one by one."""
    names = flat.spec.part
    alone = names[0] if len(names) == 1 else ""
    if scope_of(flat) not in OF_A_VOID:
        return [(alone, "")]
    found = [(name, void) for name in names for void in _voids(head, name, flat.spec.void)]
    return found or [(alone, "")]


def _voids(head: Head, name: str, wanted: tuple[str, ...]) -> list[str]:
    if name in head.parts:
        return voids_named(head.parts[name], wanted)
    gaps = [n for n, gap in head.built[name].gaps.items() if gap.void] if name in head.built else []
    if len(gaps) == 1:
        return [""]
    return [n for n in gaps if not wanted or n in wanted]
