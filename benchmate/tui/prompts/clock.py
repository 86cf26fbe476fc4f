"""Which act with a material: a digit starts its clocks. Name, grams and time are optional."""

from __future__ import annotations

from collections.abc import Callable
from typing import ClassVar

from textual.binding import Binding, BindingType

from benchmate.bench import Bench
from benchmate.bench.shelf.materials_for_job import against_of
from benchmate.bench.shelf.shelf import cautions_of, start_clock
from benchmate.localtime import parse_when, show_when
from benchmate.moment import Moment
from benchmate.quantities import parse_mass_g, show_mass
from benchmate.shelf import Material, acts_of
from benchmate.tui.present.lines import Span, line
from benchmate.tui.present.pages.shelf import act_options, rough_note
from benchmate.tui.prompts.ask import Ask
from benchmate.tui.prompts.choose import Choose
from benchmate.tui.widgets.lines import Lines


def split_piece(text: str) -> tuple[str, str]:
    """ "B: lid" is the lid of piece B, "lid" a name alone."""
    piece, colon, name = text.partition(":")
    return (piece.strip(), name.strip()) if colon else ("", text.strip())


class ActChoice(Choose):
    """Answers the act's number; what was said beside it is in `name`, `piece`, `grams`, `at`."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("n", "name_it", "name it", id="clock-name", tooltip="Say what it is for, first"),
        Binding("g", "grams", "grams", id="clock-grams", tooltip="Say how much, first"),
        Binding(
            "e",
            "earlier",
            "done earlier",
            id="clock-earlier",
            tooltip="It was done earlier: say when, first",
        ),
    ]

    def __init__(self, bench: Bench, material: Material, where: str) -> None:
        body = [f"! {text}" for text in (*against_of(bench, material), *cautions_of(material))]
        body += [note] if (note := rough_note(material)) else []
        question = f"{material.name}: what was done? {where}".rstrip()
        super().__init__(question, act_options(material, bench.settings.units), body=body)
        self.bench, self.material = bench, material
        self.name_, self.piece = "", ""
        self.grams: float | None = None
        self.moment: Moment | None = None

    def on_mount(self) -> None:
        """Show the keys for what may be said first."""
        self.call_after_refresh(self.show_keys)

    def show_keys(self) -> None:
        """The keys, and what was said so far."""
        said = [self.name_ and f"for {self.name_}", self.piece and f"piece {self.piece}"]
        said += [show_mass(self.grams)] if self.grams else []
        if self.moment is not None:
            said.append(f"done {show_when(self.moment.wall_s, self.bench.now().wall_s)}")
        keys = " a digit starts it    n name   g grams   e done earlier   esc leave it"
        rows = [line(Span(keys, "dim"))]
        words = ", ".join(s for s in said if s)
        rows = [line(" ", Span(words, "good")), *rows] if words else rows
        block = self.query_one("#asked-keys", Lines)
        block.styles.height = len(rows)
        block.show(rows)

    def _ask(self, question: str, take: Callable[[str], None]) -> None:
        def submit(text: str) -> str:
            take(text)
            return ""

        self.app.push_screen(Ask(question, submit), lambda _: self.show_keys())

    def action_name_it(self) -> None:
        """What it is for."""

        def take(text: str) -> None:
            self.piece, self.name_ = split_piece(text)

        self._ask("What is it for? (lid; or with its piece, B: lid)", take)

    def action_grams(self) -> None:
        """How much was mixed or spread."""

        def take(text: str) -> None:
            self.grams = parse_mass_g(text, "g")

        self._ask("How many grams?", take)

    def action_earlier(self) -> None:
        """When it really was."""

        def take(text: str) -> None:
            self.moment = self.bench.moment_at_wall(parse_when(text, self.bench.now().wall_s))

        self._ask("When was it done? (16:35, or 10 min ago)", take)

    def start(self, n: int, job: str) -> str:
        """Start the clocks of that act; what runs, in a sentence. Raises Refused, JournalError."""
        act = acts_of(self.material)[n]
        said = start_clock(
            self.bench,
            self.material,
            act,
            name=self.name_,
            piece=self.piece,
            job=job,
            grams=self.grams,
            at=self.moment,
        )
        return f"{said} {rough_note(self.material, act)}".rstrip()
