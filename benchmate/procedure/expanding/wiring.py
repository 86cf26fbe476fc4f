"""Which step waits for which: names in the file become addresses in the plan.

Where a step doesn't say `after`, it follows the one before it in the file. In rounds (oil, wipe,
oil, wipe) the first of a round follows the last of the round before. A window named by a step
is the nearest one of that name before it; a step that waits for a window of its own round waits
for that of the round before. "fresh face?" is a window that there may be or not.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from benchmate.fields.problem import Fault
from benchmate.nearest import advice
from benchmate.plan.address import slug
from benchmate.procedure.bodies.cups import Cup
from benchmate.procedure.expanding.clocks import window_names
from benchmate.procedure.expanding.instances import (
    COUNTED,
    OF_A_VOID,
    Draft,
    Layout,
    rounds,
    scope_of,
    segments,
)
from benchmate.procedure.expanding.roles import Roles
from benchmate.procedure.file.flat import FlatStep
from benchmate.procedure.file.names import AT_ONCE


class Wiring:
    """Resolves names to drafts."""

    def __init__(self, layout: Layout, roles: Roles, faults: list[Fault]) -> None:
        self.layout, self.roles, self.faults = layout, roles, faults
        self.flats = layout.flats
        self.place = {f.key: i for i, f in enumerate(self.flats)}
        self.windows = {f.key: window_names(f, roles) for f in self.flats}
        self.runs: dict[str, list[FlatStep]] = {}
        for segment in segments(self.flats):
            for run in rounds(segment):
                self.runs.update({f.key: run for f in run})

    # Steps by name ---------------------------------------------------------------------------

    def steps_named(self, name: str, near: FlatStep) -> list[FlatStep]:
        """The steps that a name means: in the same block, in the file, or a block's last ones."""
        group, _, inner = name.rpartition(":")
        wanted = slug(inner)
        if group:
            return [f for f in self.flats if f.group == slug(group) and f.local == wanted]
        mine = [f for f in self.flats if f.group == near.group and f.local == wanted]
        if mine and (near.block or mine != [near]):
            return mine
        exact = [f for f in self.flats if f.key == wanted]
        grouped = [f for f in self.flats if f.group == wanted]
        return self._ends(grouped) if grouped and not exact else exact or self._ends(grouped)

    def _ends(self, group: list[FlatStep]) -> list[FlatStep]:
        return group[-1:]

    def before(self, flat: FlatStep) -> list[FlatStep]:
        """The steps that this one follows."""
        if flat.spec.after is None:
            place = self.place[flat.key]
            return [self.flats[place - 1]] if place else []
        found: list[FlatStep] = []
        for name in flat.spec.after:
            if name in AT_ONCE:
                continue
            named = self.steps_named(name, flat)
            found += named
        return found

    def drafts_before(self, draft: Draft, flat: FlatStep) -> list[Draft]:
        """The drafts of a step that this draft follows: its own piece's, part's, round's."""
        if flat.key == draft.flat.key:
            return []
        found = self._of_piece(draft, self.layout.of[flat.key])
        if scope_of(flat) in OF_A_VOID or scope_of(draft.flat) in OF_A_VOID:
            found = draft.own(found)
        same_run = self.runs.get(flat.key) is self.runs.get(draft.flat.key)
        if same_run and draft.scope in COUNTED:
            return [d for d in found if d.n == draft.n]
        if scope_of(flat) in COUNTED:
            return [d for d in found if d.n == d.last]
        same_part = [d for d in found if d.part == draft.part]
        return same_part if scope_of(flat) == "part" == draft.scope and same_part else found

    def _of_piece(self, draft: Draft, found: Iterable[Draft]) -> list[Draft]:
        if not draft.piece:
            return list(found)
        return [d for d in found if d.piece == draft.piece or (not d.piece and _serves(d, draft))]

    def gives_back(self, draft: Draft) -> Draft | None:
        """The later act whose end gives back what this one holds: of its own piece and round."""
        until = draft.flat.spec.until
        named = self.steps_named(until, draft.flat) if until else []
        later = [f for f in named if self.place[f.key] > self.place[draft.flat.key]]
        mine = [d for f in later for d in self._of_piece(draft, self.layout.of[f.key])]
        same = [d for d in mine if d.n == draft.n and d.scope in COUNTED]
        return next(reversed(same or mine), None)

    # Windows by name -------------------------------------------------------------------------

    def windows_named(self, draft: Draft, name: str, key: str) -> list[str]:
        """The addresses of the windows that a name means for this draft."""
        optional = name.endswith("?")
        step, _, window = name.rstrip("?").rpartition(":")
        wanted = slug(window)
        holders = [f for f in self.flats if wanted in self.windows[f.key]]
        if step:
            named = {f.key for f in self._holders_named(step, draft.flat)}
            holders = [f for f in holders if f.key in named]
        if not holders:
            if not optional:
                self._no_window(draft.flat, key, name)
            return []
        run, here = self.runs.get(draft.flat.key, []), self.place[draft.flat.key]
        in_run = [f for f in run if f in holders]
        if in_run and draft.scope in COUNTED:
            return self._in_run(draft, in_run, here, wanted, holders)
        earlier = [f for f in holders if self.place[f.key] < here]
        if not earlier and optional:
            return []
        if not earlier:
            wrong = f"the window “{name[:60]}” only begins later"
            self.faults.append(Fault((*draft.flat.where, key), wrong, "name one that has begun"))
            return []
        return self._addresses(draft, max(earlier, key=lambda f: self.place[f.key]), wanted)

    def _in_run(
        self, draft: Draft, in_run: list[FlatStep], here: int, wanted: str, holders: list[FlatStep]
    ) -> list[str]:
        before = [f for f in in_run if self.place[f.key] < here]
        flat, n = (before[-1], draft.n) if before else (in_run[-1], draft.n - 1)
        if n == 0:
            earlier = [
                f
                for f in holders
                if f not in in_run and self.place[f.key] < here and f.group == draft.flat.group
            ]
            return self._addresses(draft, earlier[-1], wanted) if earlier else []
        return [
            f"{d.address}:{wanted}"
            for d in draft.own([d for d in self.layout.of[flat.key] if d.piece == draft.piece])
            if d.n == n
        ]

    def _holders_named(self, name: str, near: FlatStep) -> list[FlatStep]:
        """The steps whose windows a name means: a block's own, a step, or all that a block brings.

        A block means its own steps alone: "mix" in one that has none is no other block's mix.
        """
        if near.block:
            return [f for f in self.flats if f.group == near.group and f.local == slug(name)]
        grouped = [f for f in self.flats if f.group == slug(name)]
        return grouped or self.steps_named(name, near)

    def _addresses(self, draft: Draft, flat: FlatStep, wanted: str) -> list[str]:
        if scope_of(flat) == "mix" and draft.mix is not None and draft.mix.flat.key == flat.key:
            return [f"{draft.mix.address}:{wanted}"]
        found = draft.own(self._of_piece(draft, self.layout.of[flat.key]))
        if scope_of(flat) in COUNTED:
            found = [d for d in found if d.n == d.last]
        return [f"{d.address}:{wanted}" for d in found]

    def _no_window(self, flat: FlatStep, key: str, name: str) -> None:
        if self.roles.lacks:
            return
        known = list(dict.fromkeys(n for names in self.windows.values() for n in names.values()))
        wrong = f"no step starts a window “{name[:60]}”"
        self.faults.append(Fault((*flat.where, key), wrong, advice(name, known)))


def _serves(shared: Draft, draft: Draft) -> bool:
    """Whether a step of the whole job is this piece's too: a cup only where it is poured from."""
    return not shared.pieces or draft.piece in shared.pieces


def wire(layout: Layout, cups: list[Cup], roles: Roles, faults: list[Fault]) -> None:
    """Fill in what every draft comes after, waits for and must be done within."""
    wiring = Wiring(layout, roles, faults)
    for flat in layout.flats:
        for draft in layout.of[flat.key]:
            if scope_of(flat) != "mix":
                _wire(wiring, draft)
    for flat in layout.flats:
        if scope_of(flat) == "mix":
            previous: Cup | None = None
            for cup in [c for c in cups if c.draft.flat.key == flat.key]:
                _wire_cup(wiring, cup, previous)
                previous = cup


def _wire(wiring: Wiring, draft: Draft) -> None:
    run = wiring.runs.get(draft.flat.key, [])
    before = wiring.before(draft.flat)
    if draft.scope in COUNTED and draft.n > 1 and run and draft.flat.key == run[0].key:
        draft.after |= {
            d.address: None
            for d in wiring.layout.of[run[-1].key]
            if (d.piece, d.target) == (draft.piece, draft.target) and d.n == draft.n - 1
        }
        before = []
    for flat in _there(wiring, draft, before):
        if scope_of(flat) != "mix":
            draft.after |= {d.address: None for d in wiring.drafts_before(draft, flat)}
    if draft.mix is not None:
        # A piece that is made again finds its cup mixed, and is not to be poured before its blank.
        for flat in wiring.before(draft.mix.flat) if before else ():
            draft.after |= {d.address: None for d in wiring.drafts_before(draft, flat)}
        draft.after[draft.mix.address] = None
        draft.within |= {w.address: None for w in draft.mix.windows if w.closes_s is not None}
    draft.until = wiring.gives_back(draft)
    for key in ("waits", "waits_full", "within"):
        for name in getattr(draft.flat.spec, key):
            found = wiring.windows_named(draft, name, key)
            getattr(draft, key).update(dict.fromkeys(found))


def _there(wiring: Wiring, draft: Draft, before: Iterable[FlatStep]) -> Iterator[FlatStep]:
    """The steps that it follows; in place of one that isn't done in its round yet, what that one
    follows: the first coat comes after the sanding, though nothing is scuffed before it."""
    for flat in before:
        if draft.scope in COUNTED and draft.n < flat.spec.first:
            yield from _there(wiring, draft, wiring.before(flat))
        else:
            yield flat


def _wire_cup(wiring: Wiring, cup: Cup, previous: Cup | None) -> None:
    """A cup is mixed when its pours can be poured: after what they come after, less themselves."""
    own = {cup.draft.address, *(d.address for d in cup.served)}
    draft = cup.draft
    before = [f for f in wiring.before(draft.flat) if scope_of(f) != "mix"]
    for pour in cup.served:
        for flat in before:
            found = wiring.drafts_before(pour, flat)
            draft.after |= {d.address: None for d in found if d.address not in own}
        draft.after |= {a: None for a in pour.after if a not in own}
        draft.waits |= {w: None for w in pour.waits if w.rpartition(":")[0] not in own}
        draft.waits_full |= {w: None for w in pour.waits_full if w.rpartition(":")[0] not in own}
    if previous is not None:
        draft.after |= {d.address: None for d in previous.served[-1:]}
