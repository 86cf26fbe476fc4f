"""What was done with a material: a digit starts its clocks. Name, grams and time are optional."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from benchmate.bench import Bench
from benchmate.bench.shelf.materials_for_job import against_of
from benchmate.bench.shelf.shelf import cautions_of, start_clock
from benchmate.localtime import parse_when, show_when
from benchmate.moment import Moment
from benchmate.quantities import parse_mass_g, show_mass
from benchmate.shelf import Material, acts_of
from benchmate.tui.present.pages.shelf import act_options, rough_note
from benchmate.tui.prompts.ask import Ask
from benchmate.tui.prompts.choose import Choose


def split_piece(text: str) -> tuple[str, str]:
    """ "B: lid" is the lid of piece B, "lid" a name alone."""
    piece, colon, name = text.partition(":")
    return (piece.strip(), name.strip()) if colon else ("", text.strip())


SAY_MORE = "Say first what for, how many grams, or when …"


class ActChoice(Choose):
    """Answers the act's number; what was said beside it is in `name`, `piece`, `grams`, `at`."""

    def __init__(
        self, bench: Bench, material: Material, where: str, more: Sequence[str] = ()
    ) -> None:
        body = [f"! {text}" for text in (*against_of(bench, material), *cautions_of(material))]
        body += [note] if (note := rough_note(material)) else []
        question = f"{material.name}: what did you do? {where}".rstrip()
        acts = act_options(material, bench.settings.units)
        super().__init__(question, [*acts, *([SAY_MORE] if acts else []), *more], body=body)
        self.bench, self.material = bench, material
        self.name_, self.piece = "", ""
        self.grams: float | None = None
        self.moment: Moment | None = None

    def action_pick(self, n: int) -> None:
        """An act starts its clocks; first more may be said of it."""
        if 1 <= n <= len(self.options) and self.options[n - 1] == SAY_MORE:
            self._say_more()
        else:
            super().action_pick(n)

    def _say_more(self) -> None:
        ways = (
            ("What it is for", self._name_it),
            ("How many grams", self._how_much),
            ("When it was done, if earlier", self._earlier),
        )

        def answered(n: int | None) -> None:
            if n is not None:
                ways[n][1]()

        self.app.push_screen(Choose("Say first …", [text for text, _ in ways]), answered)

    def show_said(self) -> None:
        """What was said so far, in place of the keys."""
        said = [self.name_ and f"for {self.name_}", self.piece and f"piece {self.piece}"]
        said += [show_mass(self.grams)] if self.grams else []
        if self.moment is not None:
            said.append(f"done {show_when(self.moment.wall_s, self.bench.now().wall_s)}")
        words = ", ".join(s for s in said if s)
        if words:
            self.tell(f" {words}")

    def _ask(self, question: str, take: Callable[[str], None]) -> None:
        def submit(text: str) -> str:
            take(text)
            return ""

        self.app.push_screen(Ask(question, submit), lambda _: self.show_said())

    def _name_it(self) -> None:
        """What it is for."""

        def take(text: str) -> None:
            self.piece, self.name_ = split_piece(text)

        self._ask("What is it for? (lid, or B: lid)", take)

    def _how_much(self) -> None:
        """How much was mixed or spread."""

        def take(text: str) -> None:
            self.grams = parse_mass_g(text, "g")

        self._ask("How many grams?", take)

    def _earlier(self) -> None:
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
