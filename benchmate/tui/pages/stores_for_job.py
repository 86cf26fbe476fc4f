"""Which tin serves each role of a procedure, at a job's start."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import partial
from typing import TYPE_CHECKING, Any, ClassVar

from textual.binding import Binding, BindingType

from benchmate.bench.shelf.tins_for_job import Role, counted, roles_of, shelf_cautions
from benchmate.bench.starting.proofing import Proof, proof_of
from benchmate.plan.plan import TinOfPlan
from benchmate.stores import COMMON_PRACTICE, Tin
from benchmate.stores.stock import left_words
from benchmate.tui.pages.frames.list_page import ListPage
from benchmate.tui.present.lines import Line, Span, fit, line
from benchmate.tui.present.lines import Role as Role_
from benchmate.tui.present.listing import Item, Keys, paragraph
from benchmate.tui.prompts.choose import Choose

if TYPE_CHECKING:
    from benchmate.procedure.file.document import Document

ROLE = 12


class TinsForJob(ListPage):
    """Which tin serves each role. What was chosen is in `chosen`, however it is left."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "f4",
            "by_the_file",
            "the procedure's",
            id="job-tins-file",
            tooltip="Take the procedure's own tins again",
        ),
    ]
    KEYS: ClassVar[Keys] = (
        ("1-9 enter", "another tin"),
        ("f4", "the procedure's"),
        ("esc", "back with these"),
    )

    def __init__(
        self, document: Document, values: Mapping[str, Any], chosen: Mapping[str, str]
    ) -> None:
        super().__init__()
        self.document, self.values = document, values
        self.chosen = dict(chosen)
        self.proof = Proof()

    def on_mount(self) -> None:
        """Work out what the plan takes of each tin."""
        self.work_out()

    def work_out(self) -> None:
        """The plan with the tins as they are chosen."""
        self.proof = proof_of(self.bench, self.document, self.values, self.chosen)
        for error in self.proof.errors[:1]:
            self.say(error)
        self.look()

    @property
    def roles(self) -> tuple[Role, ...]:
        """The roles, and what could serve them."""
        return roles_of(self.bench, self.document.standard.head.tins)

    @property
    def planned(self) -> dict[str, TinOfPlan]:
        """What the plan takes of the tin of each role."""
        plan = self.proof.plan
        return {t.role: t for t in plan.tins} if plan is not None else {}

    def title_line(self) -> tuple[str, str]:
        """For which procedure."""
        return f"Tins for: {self.document.title}", "the job keeps their values as they are now"

    def items(self, cells: int) -> Sequence[Item]:
        """The roles with their tins."""
        planned, out = self.planned, []
        for n, role in enumerate(self.roles, 1):
            tin = planned.get(role.name)
            text = counted(tin) if tin else self.chosen.get(role.name, role.asked)
            left = (Span(f" {n if n < 10 else ' '} ", "key"), " ", fit(role.name, ROLE), " ")
            out.append(Item((line(*left, text),), role.name))
        return out or [Item((line(Span("  This procedure names no tin.", "dim")),))]

    def detail(self, cells: int) -> Sequence[Line]:
        """What the plan takes of the marked tin, and what speaks against the tins."""
        out: list[Line] = []
        plan = self.proof.plan
        for text in shelf_cautions(self.bench, plan) if plan else ():
            out += paragraph(text, cells, 3, "caution", " ! ")
        tin = self.planned.get(str(self.marked))
        for value in tin.values if tin else ():
            role: Role_ = "dim" if value.source == COMMON_PRACTICE else "plain"
            text = f"{value.what} {value.text}  ({value.source})"
            out += paragraph(text, cells, 2, role, "   ")
        return out

    def take(self, what: object) -> None:
        """Another tin for that role."""
        role = next((r for r in self.roles if r.name == what), None)
        if role is None:
            return
        names = [self._option(tin) for tin in role.options]
        at = next((i for i, t in enumerate(role.options) if t.name == self._of(role)), 0)
        question = f"Which tin serves as {role.name}? (the procedure says: {role.asked})"
        self.app.push_screen(Choose(question, names, at=at), partial(self._picked, role))

    def _of(self, role: Role) -> str:
        tin = self.planned.get(role.name)
        return tin.tin if tin else self.chosen.get(role.name, role.asked)

    def _option(self, tin: Tin) -> str:
        from benchmate.bench.shelf.tins import tins_of

        if tin.name not in tins_of(self.bench):
            return f"{tin.name}  ({COMMON_PRACTICE})"
        left = left_words(tin, self.bench.shop.shelf.used.get(tin.name, 0.0))
        return ", ".join(t for t in (tin.name, tin.family, left) if t)

    def _picked(self, role: Role, n: int | None) -> None:
        if n is None:
            return
        self.chosen.pop(role.name, None)
        self.say("")
        self.work_out()
        if role.options[n].name != self._of(role):
            self.chosen[role.name] = role.options[n].name
            self.work_out()

    def action_by_the_file(self) -> None:
        """The procedure's own tins."""
        self.chosen.clear()
        self.say("")
        self.work_out()
