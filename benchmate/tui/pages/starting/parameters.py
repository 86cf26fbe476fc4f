"""A procedure's parameters, with the plan that they give worked out as they are typed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, ClassVar

from textual.binding import Binding, BindingType
from textual.worker import get_current_worker

from benchmate.bench.errors import JournalError
from benchmate.bench.shelf.materials_for_job import shelf_cautions
from benchmate.bench.starting.briefing import first_words
from benchmate.bench.starting.proofing import Proof, proof_of
from benchmate.bench.starting.starting import start_job
from benchmate.plan.found import FIND
from benchmate.refusal import Refused
from benchmate.tui.pages.frames.form_page import FormPage
from benchmate.tui.pages.starting.teaching import ask_back, ask_offers
from benchmate.tui.present.lines import Line
from benchmate.tui.present.listing import Keys, paragraph
from benchmate.tui.present.pages.plan_proof import proof_lines
from benchmate.tui.prompts.choose import Choose
from benchmate.tui.widgets.form import Field

if TYPE_CHECKING:
    from benchmate.plan.plan import Plan
    from benchmate.procedure.file.document import Document
    from benchmate.procedure.file.schema import Parameter

_AT = " @ "
"""Between a parameter's name and a piece's in a field's key."""


class ParametersScreen(FormPage):
    """Answers with what was started. The file is read again when it is saved."""

    PRESS = "Start the job"
    WIDEST = 48
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "f2", "start", "start", id="parameters-start", tooltip="Start with what stands here"
        ),
        Binding(
            "f4",
            "defaults",
            "reset",
            id="parameters-defaults",
            tooltip="Put the file's own values back",
        ),
        Binding(
            "f5",
            "lists",
            "lists",
            id="parameters-lists",
            tooltip="What to cut, to buy and to have to hand, with what stands here",
        ),
        Binding(
            "f6",
            "learned",
            "learned",
            id="parameters-learned",
            tooltip="What earlier jobs taught: go back to the file's values",
        ),
        Binding(
            "f7",
            "materials",
            "materials",
            id="parameters-materials",
            tooltip="Which material on the shelf serves each role, and what its label brings",
        ),
    ]
    KEYS: ClassVar[Keys] = (
        ("↑ ↓ enter", "field"),
        ("f2", "start"),
        ("f7", "materials"),
        ("f4", "reset"),
        ("f5", "lists"),
        ("pgup pgdn", "read on"),
        ("esc", "back"),
    )

    def __init__(self, path: Path) -> None:
        super().__init__()
        self.path = path
        self.document: Document | None = None
        self.proof = Proof()
        self.done_by = ""
        """When a job of it would be done, once that is worked out."""
        self._stamp: tuple[int, int] | None = None
        self._pieces: tuple[str, ...] = ()
        self.chosen: dict[str, str] = {}
        """Materials in place of the procedure's, by role."""
        self._first: dict[str, str] = {}
        """What the form begins with, where that isn't the file's values."""
        self._led_by: tuple[str, ...] = ()

    @classmethod
    def filled(
        cls, file: str, values: Mapping[str, Any], materials: Mapping[str, str], said: Sequence[str]
    ) -> ParametersScreen:
        """The form with these values and materials in it; `said` stands above the plan."""
        screen = cls(Path(file))
        screen.chosen, screen._led_by = dict(materials), tuple(said)
        for name, value in values.items():
            if isinstance(value, Mapping):
                screen._first |= {f"{name}{_AT}{piece}": str(v) for piece, v in value.items()}
            else:
                text = ", ".join(map(str, value)) if isinstance(value, list) else str(value)
                screen._first[name] = text
        return screen

    # The file --------------------------------------------------------------------------------

    def load_file_anew(self) -> None:
        """Read the file; what is wrong with it is the proof."""
        from benchmate.fields.problem import ProcedureError
        from benchmate.procedure.finding import load_file

        self._stamp = self._stamp_now()
        try:
            self.document = load_file(self.path, self.bench.folders.procedures.parent)
        except ProcedureError as error:
            self.document = None
            self.proof = Proof(errors=tuple(str(p) for p in error.problems))
        except OSError as error:
            self.document = None
            self.proof = Proof(errors=(f"{self.path} can't be read: {error.strerror}.",))

    def _stamp_now(self) -> tuple[int, int] | None:
        try:
            stat = self.path.stat()
        except OSError:
            return None
        return stat.st_mtime_ns, stat.st_size

    def tick(self) -> None:
        """Read the file again when it was saved."""
        super().tick()
        if self._stamp_now() != self._stamp:
            self.load_file_anew()
            self.call_later(self._reask)

    async def _reask(self) -> None:
        await self.rebuild()
        self.work_out()
        self.look()

    # The form --------------------------------------------------------------------------------

    def fields(self) -> Sequence[Field]:
        """One field a parameter, and one a piece where pieces may differ."""
        if self._stamp is None:
            self.load_file_anew()
        if self.document is None:
            return ()
        if not self._pieces:
            self._pieces = self._pieces_now({})
        found: list[Field] = []
        for name, parameter in self.document.parameters.items():
            found.append(_field(name, parameter))
            if parameter.per_piece and len(self._pieces) > 1:
                found += [_field(name, parameter, piece) for piece in self._pieces]
        return found

    def _pieces_now(self, values: Mapping[str, Any]) -> tuple[str, ...]:
        from benchmate.fields.problem import ProcedureError
        from benchmate.procedure.expanding.values import piece_names

        if self.document is None:
            return ()
        shared = {n: v for n, v in values.items() if isinstance(v, str)}
        try:
            return tuple(piece_names(self.document.sheet(shared).head))
        except ProcedureError:
            return self._pieces

    @property
    def values(self) -> dict[str, Any]:
        """The parameters as the plan takes them; those left empty are the file's."""
        typed = {k: v.strip() for k, v in self.form.values.items() if v.strip()}
        shared: dict[str, Any] = {k: v for k, v in typed.items() if _AT not in k}
        each: dict[str, dict[str, str]] = {}
        for key, value in typed.items():
            name, at, piece = key.partition(_AT)
            if at and piece in self._pieces:
                each.setdefault(name, {})[piece] = value
        for name, by_piece in each.items():
            rest = shared.get(name)
            fill = {} if rest is None else dict.fromkeys(self._pieces, rest)
            shared[name] = {**fill, **by_piece}
        return shared

    def work_out(self) -> None:
        """The plan with these values."""
        if self.document is None:
            return
        if self._first:
            first, self._first = self._first, {}
            self.form.fill(first)
        self.proof = proof_of(self.bench, self.document, self.values, self.chosen)
        self._date()
        self.form.blame(self.proof.by_field)
        if self.proof.errors:  # What is wrong stands at the top, wherever the plan was read on to.
            self._read = 0
        if any(p.per_piece for p in self.document.parameters.values()):
            pieces = self._pieces_now(self.values)
            if pieces != self._pieces:
                self._pieces = pieces
                self.call_later(self.rebuild)

    def _date(self) -> None:
        """Work out beside the form when it would be done: a full shop takes a moment."""
        self.done_by, plan = "", self.proof.plan
        if plan is not None:
            self.run_worker(
                lambda: self._dated(plan),
                thread=True,
                exclusive=True,
                group="dates",
                exit_on_error=False,
            )

    def _dated(self, plan: Plan) -> None:
        from benchmate.bench.planning.done_by import done_by_text

        worker = get_current_worker()
        text = done_by_text(self.bench, plan)
        if not worker.is_cancelled:
            self.app.call_from_thread(self._say_done_by, text)

    def _say_done_by(self, text: str) -> None:
        self.done_by = text
        self.look()

    # Showing ---------------------------------------------------------------------------------

    def title_line(self) -> tuple[str, str]:
        title = self.document.title if self.document else self.path.stem
        n = len(self.proof.plan.learned) if self.proof.plan else 0
        learned = "1 value" if n == 1 else f"{n} values"
        about = (
            f"{learned} learned from earlier jobs: f6"
            if n
            else ("a job keeps the plan it starts with")
        )
        return f"Start: {title}", about

    def answer_lines(self, cells: int) -> Sequence[Line]:
        """What the plan comes to, or what is wrong."""
        roomy = self.is_wide and self.size.height >= 30
        found = [r for text in self._led_by for r in paragraph(text, cells, 4, "good")]
        found += paragraph(self.done_by, cells, 2) if self.done_by else []
        found += self._against_materials(cells)
        found += proof_lines(self.proof, self.bench.settings.units, cells, roomy=roomy)
        if self.document is None:
            text = f"Put it right in {self.path}: it is read again when you save it."
            found += paragraph(text, cells, 3, "dim")
        return found

    def _against_materials(self, cells: int) -> list[Line]:
        """What speaks against the materials: one runs out, stood open too long, contradicts
        itself."""
        plan = self.proof.plan
        said = shelf_cautions(self.bench, plan) if plan is not None else []
        return [row for text in said for row in paragraph(text, cells, 4, "caution", " ! ")]

    # Doing -----------------------------------------------------------------------------------

    def action_defaults(self) -> None:
        """The file's own values."""
        if self.document is not None:
            self.form.fill({f.key: f.value for f in self.fields()})

    def action_materials(self) -> None:
        """Which material serves each role."""
        if self.document is None:
            return
        from benchmate.tui.pages.starting.materials_for_job import MaterialsForJob

        self.settle()
        screen = MaterialsForJob(self.document, self.values, self.chosen)
        self.app.push_screen(screen, lambda _: self._materials_chosen(screen.chosen))

    def _materials_chosen(self, chosen: dict[str, str]) -> None:
        self.chosen = chosen
        self.work_out()
        self.look()

    def action_lists(self) -> None:
        """What to cut and to buy for the plan that stands here."""
        from benchmate.tui.pages.lists import ListsPage

        self.settle()
        if self.proof.plan is None:
            self.say("There is something to put right first.")
            return
        self.app.push_screen(ListsPage(self.proof.plan))

    def action_start(self) -> None:
        """Start with what stands here."""
        self.settle()
        self.finish()

    def action_learned(self) -> None:
        """The learned values in use; one key goes back to the file's."""

        def done(said: str) -> None:
            self.work_out()
            self.look()
            if said:
                self.say(said)

        ask_back(self, self.bench, str(self.path), done)

    def finish(self) -> None:
        """Start, and ask first about doubts, and about what earlier jobs would change."""
        if self.proof.errors or self.proof.plan is None:
            self.say("Fix the line marked ✗ first.")
            return
        n = len(self.proof.findings)
        if not n:
            self.offer()
            return
        more = f" (and {n - 1} more)" if n > 1 else ""
        question = f"Before you start: {self.proof.findings[0]}{more}"
        answers = ("Go back and look", "Start anyway")
        self.app.push_screen(
            Choose(question, answers), lambda a: self.offer() if a else self.look()
        )

    def offer(self) -> None:
        """What earlier jobs would change in this plan, in one list; then start."""
        ask_offers(
            self, self.bench, str(self.path), self.values, self.start, self.look, self.chosen
        )

    def start(self) -> None:
        """Start the job, frozen to what the file says now."""
        from benchmate.fields.problem import ProcedureError

        try:
            job = start_job(self.bench, str(self.path), self.values, chosen=self.chosen)
        except (Refused, ProcedureError) as error:
            self.say(str(error).splitlines()[0])
        except JournalError as error:
            self.say(str(error), "alarm")
        else:
            self.dismiss(" ".join([f"Started: {job}.", *first_words(self.bench, job)]))


def _field(name: str, parameter: Parameter, piece: str = "") -> Field:
    ask = parameter.ask or name
    default = FIND if parameter.find else parameter.default
    text = (
        ", ".join(map(str, default))
        if isinstance(default, list)
        else str("" if default is None else default)
    )
    bounds = [
        f"at least {parameter.at_least}" if parameter.at_least is not None else "",
        f"at most {parameter.at_most}" if parameter.at_most is not None else "",
    ]
    hint = ", ".join(b for b in bounds if b) or ("" if parameter.choices else "any")
    hint = f"{ask}: {hint}. Usual: {text}." if hint else f"{ask}. Usual: {text}."
    if not piece:
        return Field(name, ask, text, f"{text} (the file's)", hint, parameter.choices)
    choices = ("", *parameter.choices) if parameter.choices else ()
    return Field(f"{name}{_AT}{piece}", f"  {ask}, {piece}", "", "as above", hint, choices)
