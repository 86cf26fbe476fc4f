"""What the rules look at."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING

from benchmate.fields.problem import Fault, Where
from benchmate.plan.plan import Fill, Step
from benchmate.procedure.bodies.bodies import Hollow, Worked, voids_of
from benchmate.procedure.bodies.walls import Found
from benchmate.procedure.file.document import Sheet
from benchmate.procedure.file.flat import FlatStep
from benchmate.shelf.material import Material

if TYPE_CHECKING:
    from benchmate.procedure.expanding.expand import Expansion

CLOSED_MOUTH, PLUGGED, SHORT_HOLD = "another way in", "plugged hole", "short hold"
GREEN, MUCH_OIL, THIN_WALL = "green wood", "much oil", "thin wall"
QUICK, OFF_TARGET, MEASURED_WALL = "quick hands", "off target", "measured wall"
DOUBTS = (
    *(CLOSED_MOUTH, PLUGGED, SHORT_HOLD, GREEN, MUCH_OIL),
    *(THIN_WALL, QUICK, OFF_TARGET, MEASURED_WALL),
)
"""What a maker may know better, by the word that says so in the file."""
USUAL_WALL_MM = 3.0
"""Where the void names none (common practice, no source)."""
WATER_GLUES = ("wood glue", "hide glue")
FINISHES = ("oil", "wax", "film finish", "lathe polish")


@dataclass(frozen=True)
class Proof:
    """An expanded procedure and the questions that rules ask of it."""

    of: Expansion

    @cached_property
    def steps(self) -> dict[str, Step]:
        """All steps by address, in the plan's order."""
        return {s.address: s for s in self.of.plan.steps}

    def flat(self, step: Step) -> FlatStep:
        """The step in the file."""
        return self.of.flats[step.address]

    def where(self, step: Step, key: str = "") -> Where:
        """Its place in the file; a key only where the step isn't a block's."""
        flat = self.flat(step)
        return (*flat.where, key) if key and not flat.block else flat.where

    def of_use(self, step: Step, key: str) -> Where:
        """The place of a key in the file: of the step itself, or of the use of its block."""
        return (*self.flat(step).where, key)

    def is_known(self, fault: Fault) -> bool:
        """Whether it is a doubt that the file says its maker knows better."""
        if not fault.sure:
            return False
        match fault.where:
            case ("parts", str(name), *_):
                alike = self.sheet.alike
                parts = [w.spec for (_, n), w in self.of.parts.items() if name in (n, alike.get(n))]
                specs = [part.sure for part in parts]
                specs += [void.sure for part in parts for void in voids_of(part).values()]
            case ("built", str(name), *_):
                specs = [s.head.built[name].sure for s in self.of.sheets.values()]
            case ("steps", int(number), *_):
                flats = self.of.flats.values()
                specs = [f.spec.sure for f in flats if f.where[1] == number]
            case _:
                specs = [sheet.head.sure for sheet in self.of.sheets.values()]
        return any(fault.sure in sure for sure in specs)

    def part_at(self, name: str, part: Worked, hollow: Hollow) -> Where:
        """A void's place in the file: equal parts and voids stand there once, under one name."""
        if part.built:
            body = self.of.made.bodies[(self.first_piece(), name)]
            return ("built", name, "gaps", hollow.name or body.filled[0].name)
        where = self.place(name)
        if part.spec.void is not None and not part.spec.voids:
            return (*where, "void")
        said = (n for n, v in part.spec.voids.items() if hollow.name in ("", n, *v.called))
        return (*where, "voids", next(said, ""))

    def wall(self, part: str, void: str) -> Found | None:
        """The thinnest wall round a void of the first piece, in the body that it ends in."""
        return self.of.made.wall(self.first_piece(), part, void)

    def materials(self, step: Step) -> list[Material]:
        """The materials a step takes."""
        found = (self.of.roles.material(r) for r in self.flat(step).spec.material)
        return [t for t in found if t is not None]

    def parts(self, step: Step) -> list[Worked]:
        """The parts a step works on; all of its piece where it names none."""
        names = self.flat(step).spec.part
        every = {n: w for (p, n), w in self.of.parts.items() if p == step.piece or not step.piece}
        if step.part:
            names = (step.part,)
        if not names:
            return list(every.values())
        return [every[m] for n in names if n in every for m in (n, *every[n].built)]

    def first_piece(self) -> str:
        """Pieces are mostly alike: rules that would say the same of each look at the first."""
        return self.of.plan.pieces[0].name if self.of.plan.pieces else ""

    @cached_property
    def own(self) -> dict[str, Worked]:
        """The first piece's parts and bodies, by name."""
        return {n: w for (p, n), w in self.of.parts.items() if p == self.first_piece()}

    @property
    def sheet(self) -> Sheet:
        """The first piece's sheet."""
        return self.of.sheets[self.first_piece()]

    @property
    def own_steps(self) -> list[Step]:
        """The first piece's steps."""
        return [s for s in self.steps.values() if s.piece == self.first_piece()]

    @property
    def own_fills(self) -> list[Fill]:
        """The first piece's fills."""
        return [f for f in self.of.plan.fills if f.piece == self.first_piece()]

    def place(self, part: str) -> Where:
        """A part's place in the file: equal parts stand there once."""
        return ("parts", self.sheet.alike.get(part, part))

    def before(self, step: Step) -> Iterator[Step]:
        """Every step that must be done before this one, nearest first; cycles are walked once."""
        seen: set[str] = {step.address}
        ahead = list(step.after)
        while ahead:
            address = ahead.pop(0)
            if address in seen or address not in self.steps:
                continue
            seen.add(address)
            yield self.steps[address]
            ahead += self.steps[address].after

    def comes_after(self, later: Step, earlier: Step) -> bool:
        """Whether one step is sure to be done after another."""
        return any(s is earlier for s in self.before(later))
