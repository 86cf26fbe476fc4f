"""Which material serves each role of a procedure, at a job's start."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import partial
from typing import TYPE_CHECKING, Any, ClassVar

from textual.binding import Binding, BindingType

from benchmate.bench.shelf.materials_for_job import Role, counted, roles_of, shelf_cautions
from benchmate.bench.starting.proofing import Proof, proof_of
from benchmate.plan.plan import MaterialOfPlan
from benchmate.shelf import COMMON_PRACTICE, Material
from benchmate.shelf.stock import left_words
from benchmate.tui.pages.frames.list_page import ListPage
from benchmate.tui.present.lines import Line, Span, fit, line
from benchmate.tui.present.lines import Role as Role_
from benchmate.tui.present.listing import Item, Keys, paragraph
from benchmate.tui.prompts.choose import Choose

if TYPE_CHECKING:
    from benchmate.procedure.file.document import Document

ROLE = 12


class MaterialsForJob(ListPage):
    """Which material serves each role. What was chosen is in `chosen`, however it is left."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(
            "f4",
            "by_the_file",
            "the procedure's",
            id="job-materials-file",
            tooltip="Take the procedure's own materials again",
        ),
    ]
    KEYS: ClassVar[Keys] = (
        ("1-9 enter", "another one"),
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
        """Work out what the plan takes of each material."""
        self.work_out()

    def work_out(self) -> None:
        """The plan with the materials as they are chosen."""
        self.proof = proof_of(self.bench, self.document, self.values, self.chosen)
        for error in self.proof.errors[:1]:
            self.say(error)
        self.look()

    @property
    def roles(self) -> tuple[Role, ...]:
        """The roles, and what could serve them."""
        return roles_of(self.bench, self.document.standard.head.materials)

    @property
    def planned(self) -> dict[str, MaterialOfPlan]:
        """What the plan takes of the material of each role."""
        plan = self.proof.plan
        return {t.role: t for t in plan.materials} if plan is not None else {}

    def title_line(self) -> tuple[str, str]:
        return f"Materials for: {self.document.title}", "the job keeps their labels as they are now"

    def items(self, cells: int) -> Sequence[Item]:
        """The roles with their materials."""
        planned, out = self.planned, []
        for n, role in enumerate(self.roles, 1):
            material = planned.get(role.name)
            text = counted(material) if material else self.chosen.get(role.name, role.asked)
            left = (Span(f" {n if n < 10 else ' '} ", "key"), " ", fit(role.name, ROLE), " ")
            out.append(Item((line(*left, text),), role.name))
        return out or [Item((line(Span("  This procedure names no material.", "dim")),))]

    def detail(self, cells: int) -> Sequence[Line]:
        """What the plan takes of the marked material, and what speaks against the materials."""
        out: list[Line] = []
        plan = self.proof.plan
        for text in shelf_cautions(self.bench, plan) if plan else ():
            out += paragraph(text, cells, 3, "caution", " ! ")
        material = self.planned.get(str(self.marked))
        for value in material.values if material else ():
            role: Role_ = "dim" if value.source == COMMON_PRACTICE else "plain"
            text = f"{value.what} {value.text}  ({value.source})"
            out += paragraph(text, cells, 2, role, "   ")
        return out

    def take(self, what: object) -> None:
        """Another material for that role."""
        role = next((r for r in self.roles if r.name == what), None)
        if role is None:
            return
        names = [self._option(material) for material in role.options]
        at = next((i for i, t in enumerate(role.options) if t.name == self._of(role)), 0)
        question = f"What will you use for {role.name}? (procedure: {role.asked})"
        self.app.push_screen(Choose(question, names, at=at), partial(self._picked, role))

    def _of(self, role: Role) -> str:
        material = self.planned.get(role.name)
        return material.material if material else self.chosen.get(role.name, role.asked)

    def _option(self, material: Material) -> str:
        from benchmate.bench.shelf.materials import materials_of

        if material.name not in materials_of(self.bench):
            return f"{material.name}  ({COMMON_PRACTICE})"
        left = left_words(material, self.bench.shop.shelf.used.get(material.name, 0.0))
        return ", ".join(t for t in (material.name, material.family, left) if t)

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
        """The procedure's own materials."""
        self.chosen.clear()
        self.say("")
        self.work_out()
