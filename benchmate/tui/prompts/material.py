"""A material's label, typed once: what it is silent about stays common practice, and is said so."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.binding import Binding, BindingType

from benchmate.bench.errors import JournalError
from benchmate.bench.shelf.materials import materials_of
from benchmate.bench.shelf.shelf import describe_material
from benchmate.quantities import QuantityError
from benchmate.refusal import Refused
from benchmate.shelf import COMMON_PRACTICE, Material, impossible
from benchmate.shelf.questions import answered, carried, new_material, questions, shown, unread
from benchmate.tui.pages.frames.form_page import FormPage
from benchmate.tui.present.lines import Line
from benchmate.tui.present.listing import Keys
from benchmate.tui.present.pages.shelf import label_lines
from benchmate.tui.widgets.form import Field

NAME = "name"


class MaterialScreen(FormPage):
    """A new material of a family, or the label of one on the shelf."""

    PRESS = "Save"
    WIDEST = 0
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("f2", "keep", "save", id="material-keep", tooltip="Save it as it stands"),
    ]
    KEYS: ClassVar[Keys] = (
        ("↑ ↓ enter", "question"),
        ("f2", "save"),
        ("pgup pgdn", "read on"),
        ("esc", "back"),
    )

    def __init__(self, family: str, material: Material | None = None) -> None:
        super().__init__()
        self.family, self.old = family, material
        self.material: Material = material or new_material(family, family)
        self.faults: dict[str, str] = {}

    def title_line(self) -> tuple[str, str]:
        name = self.old.name if self.old else f"new {self.family}"
        return f"Label: {name}", "leave blank what the label doesn’t say"

    def fields(self) -> Sequence[Field]:
        """The family's questions, and first what the material is called."""
        asked: list[Field] = []
        if self.old is None:
            blank = f"{self.family}, or what you call this one"
            asked.append(Field(NAME, "What do you call it?", "", blank))
        for q in questions(self.family, self.bench.settings.units):
            value = shown(self.old, q.key, self.bench.settings.units) if self.old else ""
            common = f"{q.common}: {COMMON_PRACTICE}" if q.common else f"such as {q.example}"
            hint = (
                f"Write it like {q.example}. Left blank: {common}."
                if q.common
                else (f"Write it like {q.example}. It may stay blank.")
            )
            asked.append(Field(q.key, q.ask, value, common, hint))
        return asked

    def work_out(self) -> None:
        """Read every answer; what can't be read is a fault of its field."""
        values = self.form.values
        name = values.pop(NAME, "").strip() or self.family
        self.faults = {}
        try:
            material = unread(self.old) if self.old else new_material(name, self.family)
        except QuantityError as fault:
            self._blame(NAME, fault)
            material = new_material(self.family, self.family)
        for key, text in values.items():
            try:
                old = self.old
                same = old is not None and text == self._was(key)
                material = (
                    carried(material, old, key) if old and same else answered(material, key, text)
                )
            except QuantityError as fault:
                self._blame(key, fault)
        self.material = material
        for key, wrong in impossible(material):
            self.faults.setdefault(key, f"{wrong[:1].upper()}{wrong[1:]}.")
        if self.old is None and name in materials_of(self.bench):
            self.faults[NAME] = f"“{name}” is on the shelf already; type its label there."
        self.form.blame(self.faults)

    def _blame(self, key: str, fault: QuantityError) -> None:
        self.faults[key] = f"{str(fault)[:1].upper()}{str(fault)[1:]}."

    def _was(self, key: str) -> str:
        return shown(self.old, key, self.bench.settings.units) if self.old is not None else ""

    def answer_lines(self, cells: int) -> Sequence[Line]:
        """The label as it will count."""
        return label_lines(self.material, 0.0, cells, self.bench.settings.units)

    def action_keep(self) -> None:
        """Put it on the shelf."""
        self.settle()
        self.finish()

    def finish(self) -> None:
        """Put it on the shelf, once every answer can be read."""
        if self.faults:
            self.say("An answer can't be read: it is marked ✗.")
            return
        try:
            describe_material(self.bench, self.material)
        except (Refused, QuantityError) as error:
            self.say(str(error))
        except JournalError as error:
            self.say(f"{error} What you typed is still here.", "alarm")
        else:
            self.dismiss(f"{self.material.name} is on the shelf.")
