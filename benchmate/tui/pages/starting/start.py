"""Choose a procedure and start a job from it, or start one without."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.worker import get_current_worker

from benchmate.bench.shelf.materials import materials_of
from benchmate.bench.starting.proofing import faults_of_file
from benchmate.bench.starting.starting import start_free
from benchmate.procedure.finding import describe, find_all
from benchmate.shelf import Material
from benchmate.tui.bench.wishing import ask_wishes
from benchmate.tui.keys.table import binding
from benchmate.tui.pages.frames.list_page import ListPage
from benchmate.tui.pages.starting.parameters import ParametersScreen
from benchmate.tui.present.lines import Line
from benchmate.tui.present.listing import Item, Keys
from benchmate.tui.present.pages.procedures import FREE, Entry, about_lines, entries_of
from benchmate.tui.prompts.ask import Ask

Stamp = tuple[int, int]
"""When a file was last written, and its size."""


class StartScreen(ListPage):
    """All procedures, those that came with benchmate and the maker's own.

    Own files are proofread in the background, and again when they are saved; a broken one says
    what is wrong with it and where.
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "0",
            "free",
            "without a plan",
            id="start-free",
            tooltip="Start a job without a procedure",
        ),
        binding("note", "take_wish", tip="Write a “next time” note into the procedure's file"),
        binding("past", "earlier", tip="The last five jobs of the marked procedure, side by side"),
    ]
    KEYS: ClassVar[Keys] = (
        ("↑ ↓", "choose"),
        ("1-9 enter", "take it"),
        ("0", FREE),
        ("p", "past jobs"),
        ("n", "add note to file"),
        ("esc", "back"),
        ("?", "keys"),
    )

    def __init__(self) -> None:
        super().__init__()
        self.listed: list[Entry] = []
        self._stamps: dict[Path, Stamp] = {}

    def on_mount(self) -> None:
        """List what is there."""
        self.reread()

    @property
    def home(self) -> Path:
        """The folder that holds the maker's folder of procedures."""
        return self.bench.folders.procedures.parent

    def tick(self) -> None:
        """Look whether a file was saved, made or taken away."""
        super().tick()
        if self._stamps_now() != self._stamps:
            self.reread()

    def _stamps_now(self) -> dict[Path, Stamp]:
        found: dict[Path, Stamp] = {}
        for entry in find_all(self.home):
            try:
                stat = entry.path.stat()
            except OSError:
                continue
            found[entry.path] = (stat.st_mtime_ns, stat.st_size)
        return found

    def reread(self) -> None:
        """List the files anew; the maker's own are proofread in a worker."""
        old = {e.path: e for e in self.listed}
        stamps = self._stamps_now()
        same = {path for path, stamp in stamps.items() if self._stamps.get(path) == stamp}
        self._stamps = stamps
        self.listed = []
        for found in find_all(self.home):
            if found.path in same and found.path in old:
                self.listed.append(old[found.path])
            else:
                title, about = describe(found)
                self.listed.append(Entry(found.name, found.path, found.shipped, title, about))
        self.look()
        unread = [e.path for e in self.listed if not e.is_shipped and e.faults is None]
        if unread:
            materials, home = materials_of(self.bench), self.home
            self.run_worker(
                lambda: self._proofread(unread, home, materials),
                thread=True,
                exclusive=True,
                group="proof",
                exit_on_error=False,
            )

    def _proofread(self, paths: Sequence[Path], home: Path, materials: dict[str, Material]) -> None:
        worker = get_current_worker()
        for path in paths:
            faults = faults_of_file(path, home, materials)
            if worker.is_cancelled:
                return
            self.app.call_from_thread(self._found, path, faults)

    def _found(self, path: Path, faults: tuple[str, ...]) -> None:
        self.listed = [replace(e, faults=faults) if e.path == path else e for e in self.listed]
        self.look()

    # Showing ---------------------------------------------------------------------------------

    def title_line(self) -> tuple[str, str]:
        """How many there are."""
        own = sum(not e.is_shipped for e in self.listed)
        return "Start a job", f"{len(self.listed)} procedures, {own} your own"

    def items(self, cells: int) -> Sequence[Item]:
        return entries_of(self.listed, cells)

    def detail(self, cells: int) -> Sequence[Line]:
        """About the marked one."""
        entry = self.entry(self.marked)
        lessons = self.bench.shop.lessons
        name = entry.name if entry else ""
        return about_lines(entry, lessons.wishes_for(name), len(lessons.values_for(name)), cells)

    def entry(self, name: object) -> Entry | None:
        """The procedure of that name."""
        return next((e for e in self.listed if e.name == name), None)

    # Doing -----------------------------------------------------------------------------------

    def take(self, what: object) -> None:
        """On to its parameters, or to a job without a procedure."""
        entry = self.entry(what)
        if entry is None:
            self.action_free()
            return
        self.app.push_screen(ParametersScreen(entry.path), self._started)

    def _started(self, said: str | None) -> None:
        if said:
            self.dismiss(said)

    def action_take_wish(self) -> None:
        """What earlier jobs of the marked procedure wished for, into its file."""
        entry = self.entry(self.marked)
        if entry is None:
            self.say("Move to a procedure first.")
            return

        def done(said: str) -> None:
            self.reread()
            if said:
                self.say(said)

        ask_wishes(self, self.bench, entry.name, done)

    def action_earlier(self) -> None:
        """What earlier jobs of the marked procedure were like."""
        from benchmate.tui.pages.looking_back.earlier import EarlierScreen

        entry = self.entry(self.marked)
        self.app.push_screen(EarlierScreen(entry.name if entry else ""), self._started)

    def action_free(self) -> None:
        """Ask how the job is to be called, and start it."""

        def submit(text: str) -> str:
            start_free(self.bench, text)
            return f"Started: {text.strip()}. m starts a clock, w weighs, n notes."

        self.app.push_screen(Ask("Name this job:", submit), self._started)
