"""The shelf: a digit takes a tin, a second one starts the clocks of an act with it."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.binding import Binding, BindingType

from benchmate.bench.errors import JournalError
from benchmate.bench.shelf.shelf import find_tin, gone_tins, tin_gone
from benchmate.bench.shelf.tins import tins_of
from benchmate.bench.shelf.tins_for_job import today_of
from benchmate.refusal import Refused
from benchmate.stores import Tin, acts_of
from benchmate.tui.present.lines import Line
from benchmate.tui.present.listing import Item, Keys
from benchmate.tui.present.pages.shelf import label_lines, shelf_items
from benchmate.tui.prompts.choose import Choose
from benchmate.tui.prompts.clock import ActChoice
from benchmate.tui.prompts.families import FamiliesScreen
from benchmate.tui.prompts.free import FreeWork
from benchmate.tui.prompts.tin import TinScreen


class StoresScreen(FreeWork):
    """All tins, and below them the families that have clocks of their own.

    Taking a tin asks for the act; that starts the clocks and goes back to the bench, where they
    run. With a job without a plan, its other acts have their keys here too.
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "plus",
            "add",
            "add a tin",
            id="stores-add",
            tooltip="Put a tin on the shelf: of the marked one's family, or type another's",
        ),
        Binding("l", "label", "label", id="stores-label", tooltip="Type the marked tin's label"),
        Binding(
            "x",
            "gone",
            "used up",
            id="stores-gone",
            tooltip="The marked tin is used up or thrown away",
        ),
    ]

    def title_line(self) -> tuple[str, str]:
        """Where the acts go."""
        job = self.target
        where = f"acts go to {job.title}" if job else "clocks without a job"
        return "Stores", where + (", j changes" if self.jobs else "")

    def keys(self) -> Keys:
        """The free job's keys only where there is one."""
        found: list[tuple[str, str]] = [("1-9 enter", "clock from it"), ("+", "add a tin")]
        if self._kind == "tin":
            found += [("l", "label"), ("x", "used up")]
        if self.target is not None:
            found += [
                ("w", "weigh"),
                ("d", "did something else"),
                ("n", "note"),
                ("p", "photo"),
                ("f", "write a file"),
            ]
        return [*found, ("esc", "back"), ("?", "help")]

    def items(self, cells: int) -> Sequence[Item]:
        """Tins and families."""
        bench = self.bench
        used, units = bench.shop.shelf.used, bench.settings.units
        gone = gone_tins(bench)
        return shelf_items(tins_of(bench), used, cells, units, today_of(bench), gone)

    def detail(self, cells: int) -> Sequence[Line]:
        """The marked one's label."""
        tin = self.tin
        if tin is None:
            return ()
        used = self.bench.shop.shelf.used.get(tin.name, 0.0)
        return label_lines(tin, used, cells, self.bench.settings.units, today_of(self.bench))

    @property
    def _kind(self) -> str:
        found = self.marked
        return str(found[0]) if isinstance(found, tuple) else ""

    @property
    def tin(self) -> Tin | None:
        """The marked tin, or one of the marked family."""
        found = self.marked
        if not isinstance(found, tuple):
            return None
        if found[0] == "gone":
            return gone_tins(self.bench).get(str(found[1]))
        try:
            return find_tin(self.bench, str(found[1]))
        except Refused:
            return None

    def take(self, what: object) -> None:
        """Ask for the act, then start its clocks."""
        tin, job = self.tin, self.target
        if tin is None:
            return
        if self._kind == "gone":
            self.action_label()
            return
        if not acts_of(tin):
            self.say(f"{tin.name} has no clocks; l types its label.")
            return
        where = f"It goes to {job.title}." if job else ""
        choice = ActChoice(self.bench, tin, where)
        self.app.push_screen(choice, lambda n: self._started(choice, n))

    def _started(self, choice: ActChoice, n: int | None) -> None:
        if n is None:
            self.look()
            return
        job = self.target
        try:
            self.dismiss(choice.start(n, job.job if job else ""))
        except (Refused, JournalError) as error:
            self.say(str(error), "alarm" if isinstance(error, JournalError) else "caution")

    def action_add(self) -> None:
        """A new tin: of which family? The marked one's is a key away."""
        tin = self.tin
        at = (tin.family or tin.name) if tin is not None else ""
        self.app.push_screen(
            FamiliesScreen(at), lambda name: self._label(name, None) if name else self.look()
        )

    def action_label(self) -> None:
        """The marked tin's label; of a family, a new tin."""
        found = self.marked
        tin = self.tin
        if tin is not None and isinstance(found, tuple):
            self._label(tin.family or tin.name, tin if found[0] in ("tin", "gone") else None)

    def _label(self, family: str, tin: Tin | None) -> None:
        screen = TinScreen(family, tin)

        def kept(said: str | None) -> None:
            if said:
                self.mark(("tin", screen.tin.name))
                self.say(said)

        self.app.push_screen(screen, kept)

    def action_gone(self) -> None:
        """The marked tin is used up."""
        tin = self.tin
        if tin is None or self._kind != "tin":
            self.say("Put the mark on a tin of the shelf first.")
            return
        name = tin.name

        def answered(n: int | None) -> None:
            if n != 1:
                return
            try:
                tin_gone(self.bench, name)
            except (Refused, JournalError) as error:
                self.say(str(error))
            else:
                self.say(f"{name} is off the shelf. What it started runs on.")

        self.app.push_screen(Choose(f"Is {name} used up?", ("No", "Yes, off the shelf")), answered)
