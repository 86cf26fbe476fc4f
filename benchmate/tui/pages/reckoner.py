"""One ready reckoner: a form that answers as one types, with a plot where a curve says more."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.worker import get_current_worker

from benchmate.job.deciding import commands as cmd
from benchmate.reckon.asking.answering import Answer, answer_with
from benchmate.reckon.asking.curve import Curve, curve
from benchmate.reckon.asking.frame import Refused
from benchmate.reckon.asking.labels import labels_of
from benchmate.reckon.asking.reading import read_input
from benchmate.reckon.asking.registry import find
from benchmate.tui.pages.frames.form_page import FormPage
from benchmate.tui.present.lines import Line
from benchmate.tui.present.listing import Keys, paragraph
from benchmate.tui.present.pages.answer import (
    about_lines,
    answer_lines,
    as_note,
    field_of,
    sentence,
)
from benchmate.tui.present.pages.plot import plot_lines
from benchmate.tui.prompts.choose import Choose
from benchmate.tui.widgets.form import Field

PLOT_ROWS = 9


@dataclass(frozen=True)
class Worked:
    """What came of the form: an answer with its curve, or why there is none."""

    answer: Answer | None = None
    curve: Curve | None = None
    why: str = ""
    waits: bool = False
    """Something needed isn't typed yet: no fault."""


class ReckonerScreen(FormPage):
    """Answers are worked out in a worker: a few load large libraries the first time."""

    PRESS = "Use it in a job …"
    WIDE_FROM = 76
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "f2",
            "use",
            "use it",
            id="reckoner-use",
            tooltip="Write the answer into a job as a note, or send it to the terminal",
        ),
        Binding("f3", "example", "example", id="reckoner-example", tooltip="Fill in the example"),
        Binding("f4", "clear", "clear", id="reckoner-clear", tooltip="Empty all fields"),
    ]
    KEYS: ClassVar[Keys] = (
        ("↑ ↓", "field"),
        ("f2", "use it"),
        ("f3", "example"),
        ("f4", "clear"),
        ("pgup pgdn", "read"),
        ("esc", "back"),
    )

    def __init__(self, name: str) -> None:
        super().__init__()
        self.reckoner = find(name)
        self.labels = labels_of(self.reckoner)
        self.worked = Worked()
        self._asked = self._told_of = 0
        self._is_wanted = False

    def title_line(self) -> tuple[str, str]:
        """Its name and what it is for."""
        return f"Calculator: {self.reckoner.name}", self.reckoner.title

    def fields(self) -> Sequence[Field]:
        shown = self.reckoner.example
        return [
            field_of(item, self.labels[item.key], shown.get(item.key, ""))
            for item in self.reckoner.inputs
        ]

    def side_cells(self, cells: int) -> int:
        """The answer has a little more than half."""
        return cells - min(56, max(36, cells * 19 // 40))

    # Working out -----------------------------------------------------------------------------

    def work_out(self) -> None:
        """Read the fields here, and have a worker answer what can be answered."""
        typed, faults = self._typed()
        self.form.blame(faults)
        self._asked += 1
        self._is_wanted = False
        needed = [i.key for i in self.reckoner.inputs if i.must_be_given]
        missing = [self.labels[key] for key in needed if key not in typed]
        if faults:
            why = "There is no answer while a field can't be read."
            self._answered(Worked(why=why, waits=True), self._asked)
        elif missing:
            why = f"Still needed: {', '.join(missing)}."
            self._answered(Worked(why=why, waits=True), self._asked)
        else:
            number = self._asked
            self.run_worker(
                lambda: self._reckon(typed, number),
                thread=True,
                exclusive=True,
                group="answer",
                exit_on_error=False,
            )

    def _typed(self) -> tuple[dict[str, object], dict[str, str]]:
        """What stands in the fields, and what is wrong with single ones."""
        typed: dict[str, object] = {}
        faults: dict[str, str] = {}
        for key, text in self.form.values.items():
            item = self.reckoner.input(key)
            if not text.strip() or item is None:
                continue
            try:
                typed[key] = _from_file(key, text.strip())
                read_input(item, typed[key])
            except Refused as refusal:
                faults[key] = sentence(str(refusal).removeprefix(f"{key}: "), self.labels)
        return typed, faults

    def _reckon(self, typed: Mapping[str, object], number: int) -> None:
        """In the worker."""
        try:
            answer = answer_with(self.reckoner, typed)
            worked = Worked(answer, curve(self.reckoner, typed))
        except Refused as refusal:
            worked = Worked(why=sentence(str(refusal), self.labels))
        if not get_current_worker().is_cancelled:
            self.app.call_from_thread(self._answered, worked, number)

    def _answered(self, worked: Worked, number: int) -> None:
        if number != self._asked:
            return
        self.worked, self._told_of = worked, number
        self.look()
        if self._is_wanted:
            self.finish()

    # Showing ---------------------------------------------------------------------------------

    def answer_lines(self, cells: int) -> Sequence[Line]:
        """The answer, or why there is none."""
        worked = self.worked
        if worked.answer is None:
            role = "dim" if worked.waits else "spoil"
            return paragraph(worked.why, cells, 9, role)  # type: ignore[arg-type]
        rows = PLOT_ROWS + (6 if self.size.height >= 40 else 0)
        plot = plot_lines(worked.curve, min(cells, 72), rows, self.labels) if worked.curve else []
        found = answer_lines(worked.answer, plot, self.bench.settings.units, cells, self.labels)
        if self.size.height >= 40:
            found += [(), *about_lines(self.reckoner, cells)]
        return found

    # Doing -----------------------------------------------------------------------------------

    def action_example(self) -> None:
        """Fill in the example."""
        self.action_clear()
        self.form.fill(dict(self.reckoner.example))

    def action_clear(self) -> None:
        """Empty all fields (words that are picked go back to their first)."""
        self.form.fill({field.key: field.value for field in self.fields()})

    def action_use(self) -> None:
        """Do something with the answer."""
        self.settle()
        self.finish()

    def finish(self) -> None:
        """Ask what is to be done with the answer."""
        answer = self.worked.answer
        self._is_wanted = self._told_of != self._asked
        if self._is_wanted:
            self.say("Working it out …", "plain")
            return
        if answer is None:
            self.say("There is no answer to use yet.")
            return
        jobs = self.bench.shop.live
        options = [f"Write it into {job.title} as a note" for job in jobs]
        options.append("Send it to the terminal's clipboard")
        text = as_note(answer, self.bench.settings.units, self.labels)

        def picked(n: int | None) -> None:
            if n is None:
                self.look()
            elif n < len(jobs):
                self.do(jobs[n].job, cmd.Note(text=text), f"Noted in {jobs[n].title}.")
            else:
                self.app.copy_to_clipboard(text)
                self.say("Sent to the terminal; whether it took it, a terminal doesn't say.")

        self.app.push_screen(Choose("What is the answer for?", options), picked)


def _from_file(key: str, text: str) -> str:
    """What was typed, or for @file what that file holds. Raises Refused."""
    if not text.startswith("@"):
        return text
    from benchmate.bench.text_file import read_file

    return read_file(key, text[1:])
