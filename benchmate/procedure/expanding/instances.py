"""Steps laid out over pieces, parts, layers and coats: a draft for every press of the glove key."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import groupby

from benchmate.plan.address import address
from benchmate.plan.plan import Amount, Window
from benchmate.procedure.file.document import Sheet
from benchmate.procedure.file.flat import FlatStep
from benchmate.procedure.file.schema import Scope

COUNTED = ("layer", "coat")


@dataclass(eq=False)
class Draft:
    """One step of the plan in the making."""

    flat: FlatStep
    piece: str
    part: str
    n: int
    last: int
    """The greatest n of its kind."""
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
        """What it is an act of."""
        return scope_of(self.flat)


def scope_of(flat: FlatStep) -> Scope:
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
        part = draft.part
        draft.address = address(self.job, draft.piece, part, draft.flat.key, draft.n)
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
    part = parts[0] if len(parts) == 1 else ""
    last = flat.spec.count if scope_of(flat) in COUNTED else 1
    for n in range(1, last + 1):
        layout.add(Draft(flat, piece, part, n, last))
