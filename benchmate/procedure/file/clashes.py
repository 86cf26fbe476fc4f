"""Keys that can't stand together in one table, or that mean nothing where they stand."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from benchmate.fields.problem import Fault

if TYPE_CHECKING:
    from benchmate.procedure.file.part_schema import Form, Part, Shape, Void
    from benchmate.procedure.file.schema import FileWindow, Step

_OF_SHAPES = {
    "sides": "prism",
    "corner": "slot",
    "profile": "turned",
    "steps": "bore",
    "tip": "bore",
    "stations": "shaped",
    "bend": "shaped",
}
"""Keys that only one shape uses."""
_OF_A_MIX = ("cups", "loss", "least")
_METAL_HAS_NO = ("moisture", "grain")


def of_form(form: Form) -> Iterator[Fault]:
    """Keys that this shape doesn't use, and its size said twice."""
    given = form.model_fields_set
    for key, shape in _OF_SHAPES.items():
        if key in given and form.shape != shape:
            wrong = f"{key} means nothing for a {form.shape}"
            yield Fault((key,), wrong, f'leave it out, or write shape = "{shape}"')
    for key in ("profile", "steps", "stations"):
        if getattr(form, key) and "size" in given and form.shape == _OF_SHAPES[key]:
            wrong = f"size and {key} both say how large it is"
            yield Fault(("size",), wrong, f"keep {key}")


def of_place(shape: Shape) -> Iterator[Fault]:
    """A place said twice."""
    if shape.at and shape.offset is not None:
        yield Fault(("offset",), "at and offset both say where it lies", "keep at")


def of_void(void: Void) -> Iterator[Fault]:
    """A void's own: cores that stand along it whatever they say, and a cap as deep as itself."""
    for number, core in enumerate(void.minus):
        if "into" in core.model_fields_set:
            wrong = "what stands in a void stands along its depth"
            yield Fault(("minus", number, "into"), wrong, "leave into out")
    deep = void.size[-1] if void.size and len(void.size) > 1 else None
    if deep and void.cap >= deep:
        yield Fault(("cap",), "the cap is as deep as the void", "write cap thinner, such as 1.5 mm")


def of_part(part: Part) -> Iterator[Fault]:
    """Two sources for one value."""
    given = part.model_fields_set
    if part.wood and part.metal:
        wrong = f"the part is of {part.wood} and of {part.metal}"
        yield Fault(("metal",), wrong, "keep one of wood and metal")
    if part.metal and part.density is not None:
        yield Fault(("density",), f"{part.metal} has its own density", "keep metal or density")
    if part.weighs is not None and part.size is not None:
        wrong = "weighs and size both give its weight"
        yield Fault(("weighs",), wrong, "keep size, or weighs with finished for its area")
    if part.metal:
        for key in _METAL_HAS_NO:
            if key in given:
                yield Fault((key,), f"metal has no {key}", "leave it out")


def of_step(step: Step) -> Iterator[Fault]:
    """Keys of another kind of step."""
    given = step.model_fields_set
    for key in _OF_A_MIX:
        if key in given and not step.serves and step.each != "mix":
            wrong = f"{key} is of a mix, and this step mixes for none"
            yield Fault((key,), wrong, 'leave it out, or write serves = "pour"')
    if step.brings and not step.material:
        yield Fault(
            ("brings",),
            "there is no material whose clocks it could bring",
            'write material = "oil"',
        )
    if step.count > 1 and step.each in ("job", "piece", "part"):
        wrong = f"count is of layers and coats, and this step is done once for each {step.each}"
        yield Fault(("count",), wrong, 'write each = "coat" or "layer", or leave count out')
    if step.until and not step.holds:
        yield Fault(("until",), "it holds nothing that could be given back", 'write holds = "vice"')


def of_window(window: FileWindow) -> Iterator[Fault]:
    """Words on an edge that the window doesn't have."""
    if "lost" in window.model_fields_set and window.closes is None:
        yield Fault(("lost",), "it never closes, so nothing is lost", 'write closes = "10 min"')
    opens = window.opens or window.full or window.hold
    if "says" in window.model_fields_set and opens is None:
        yield Fault(("says",), "it never opens, so nobody is told", 'write opens = "45 min"')
