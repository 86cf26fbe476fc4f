"""The shelf: a digit takes a material, a second one starts its clocks."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.binding import BindingType

from benchmate.bench.errors import JournalError
from benchmate.bench.shelf.materials import materials_of
from benchmate.bench.shelf.materials_for_job import today_of
from benchmate.bench.shelf.own_waits import own_waits, sooner, take_waits
from benchmate.bench.shelf.shelf import find_material, gone_materials, material_gone
from benchmate.refusal import Refused
from benchmate.shelf import Material
from benchmate.tui.keys.table import binding
from benchmate.tui.present.lines import Line
from benchmate.tui.present.listing import Item, Keys, paragraph
from benchmate.tui.present.pages.shelf import label_lines, shelf_items
from benchmate.tui.prompts.choose import Choose
from benchmate.tui.prompts.clock import ActChoice
from benchmate.tui.prompts.families import FamiliesScreen
from benchmate.tui.prompts.free import FreeWork
from benchmate.tui.prompts.material import MaterialScreen

LABEL, USED_UP, NEW = "Type its label …", "It’s used up …", "Put one on the shelf …"
SOONER = "Take the shorter times that were seen here"


class ShelfScreen(FreeWork):
    """All materials, and below them the other kinds that have clocks of their own.

    Taking one asks what was done with it; that starts its clocks and goes back to the bench, where
    they run.
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        binding("add", "add", tip="Put a material on the shelf: of the marked kind, or another"),
    ]

    def title_line(self) -> tuple[str, str]:
        """Which job it is for."""
        job = self.target
        where = f"for {job.title}" if job else "not tied to a job"
        return "On the shelf", where + (", o changes" if self.jobs else "")

    def keys(self) -> Keys:
        """The free job's keys only where there is one."""
        found: list[tuple[str, str]] = [("1-9 enter", "its clocks, its label"), ("+", "add")]
        if self.target is not None:
            found += [("w", "weigh"), ("n", "note")]
        return [*found, ("o", "this job …"), ("esc", "back"), ("?", "keys")]

    def items(self, cells: int) -> Sequence[Item]:
        bench = self.bench
        used, units = bench.shop.shelf.used, bench.settings.units
        gone = gone_materials(bench)
        return shelf_items(materials_of(bench), used, cells, units, today_of(bench), gone)

    def detail(self, cells: int) -> Sequence[Line]:
        """The marked one's label."""
        material = self.material
        if material is None:
            return ()
        used = self.bench.shop.shelf.used.get(material.name, 0.0)
        label = label_lines(material, used, cells, self.bench.settings.units, today_of(self.bench))
        seen = [line for text in own_waits(self.bench, material) for line in paragraph(text, cells)]
        return [*label, *seen]

    @property
    def _kind(self) -> str:
        found = self.marked
        return str(found[0]) if isinstance(found, tuple) else ""

    @property
    def material(self) -> Material | None:
        """The marked material, or one of the marked family."""
        found = self.marked
        if not isinstance(found, tuple):
            return None
        if found[0] == "gone":
            return gone_materials(self.bench).get(str(found[1]))
        try:
            return find_material(self.bench, str(found[1]))
        except Refused:
            return None

    def take(self, what: object) -> None:
        """Ask what was done, then start its clocks; its label and its end are asked for there."""
        material, job = self.material, self.target
        if material is None:
            return
        if self._kind == "gone":
            self._label_marked()
            return
        on_shelf = self._kind == "material"
        more = [LABEL, USED_UP] if on_shelf else [NEW]
        more += [SOONER] if sooner(self.bench, material) else []
        choice = ActChoice(self.bench, material, f"For {job.title}." if job else "", more)
        self.app.push_screen(choice, lambda n: self._started(choice, n))

    def _started(self, choice: ActChoice, n: int | None) -> None:
        if n is None:
            self.look()
            return
        match choice.options[n]:
            case what if what in (LABEL, NEW):
                self._label_marked()
            case what if what == USED_UP:
                self._used_up()
            case what if what == SOONER and self.material is not None:
                self.say(" ".join(take_waits(self.bench, self.material)))
            case _:
                self._start(choice, n)

    def _start(self, choice: ActChoice, n: int) -> None:
        job = self.target
        try:
            self.dismiss(choice.start(n, job.job if job else ""))
        except (Refused, JournalError) as error:
            self.say(str(error), "alarm" if isinstance(error, JournalError) else "caution")

    def action_add(self) -> None:
        """A new material: of which family? The marked one's is a key away."""
        material = self.material
        at = (material.family or material.name) if material is not None else ""
        self.app.push_screen(
            FamiliesScreen(at), lambda name: self._label(name, None) if name else self.look()
        )

    def _label_marked(self) -> None:
        """The marked material's label; of a family, a new material."""
        found = self.marked
        material = self.material
        if material is not None and isinstance(found, tuple):
            self._label(
                material.family or material.name,
                material if found[0] in ("material", "gone") else None,
            )

    def _label(self, family: str, material: Material | None) -> None:
        screen = MaterialScreen(family, material)

        def kept(said: str | None) -> None:
            if said:
                self.mark(("material", screen.material.name))
                self.say(said)

        self.app.push_screen(screen, kept)

    def _used_up(self) -> None:
        """The marked material is used up."""
        material = self.material
        if material is None or self._kind != "material":
            self.say("Move to one on the shelf first.")
            return
        name = material.name

        def answered(n: int | None) -> None:
            if n != 1:
                return
            try:
                material_gone(self.bench, name)
            except (Refused, JournalError) as error:
                self.say(str(error))
            else:
                self.say(f"{name} is off the shelf. Its clocks run on.")

        self.app.push_screen(Choose(f"Is {name} used up?", ("No", "Yes, off the shelf")), answered)
