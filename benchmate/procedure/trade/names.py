"""Names that mean nothing where they stand: in braces, in `bare`, in `sure`."""

from __future__ import annotations

import re
from collections.abc import Iterator

from benchmate.fields.problem import Fault
from benchmate.nearest import advice, nearest
from benchmate.procedure.bodies.bodies import voids_of
from benchmate.procedure.expanding.placeholders import RECKONED, names_in
from benchmate.procedure.file.flat import FlatStep
from benchmate.procedure.trade.proof import DOUBTS, Proof

_SCOPES = {"layer": "layer", "layers": "layer", "coat": "coat", "coats": "coat", "cup": "mix"}
"""Names in braces that only a step of this scope has a value for."""
_TEXTS = ("do", "short", "each_of")
_FACES = """
    top bottom underside upside base back front left right inner outer inside outside end ends
    edge edges rim side sides seat shoulder shoulders joint joints mouth mortise tenon peg socket
    bore hole recess rebate groove heel toe head foot neck cheek cheeks panel glue felt leather
    cloth one two both all each every other first second third long short wide narrow upper lower
    face faces area surface surfaces wood part parts where goes with under below above around for
    and the that later will masked bare of on in to at it its
"""
"""What a face is called anywhere in a shop."""
_WORD = re.compile(r"[^\W\d_]{3,}")


def placeholders(proof: Proof) -> Iterator[Fault]:
    """Names in braces that nothing fills in at their step."""
    for step in proof.steps.values():
        flat = proof.flat(step)
        for key, text in _texts_of(flat):
            for name in names_in(text):
                needs = _SCOPES.get(name)
                lost = needs is not None and step.scope != needs
                lost = lost or (name == "piece" and not step.piece)
                lost = lost or f"{{{name}}}" in f"{step.do}{step.short}" or key == "note"
                if name in RECKONED and lost:
                    wrong = f"“{{{name}}}” means nothing here: {_why(key, step.scope)}"
                    yield Fault(proof.where(step, key), wrong, _instead(needs))


def _texts_of(flat: FlatStep) -> Iterator[tuple[str, str]]:
    yield from ((key, getattr(flat.spec, key)) for key in _TEXTS)
    yield from (("note", text) for text in flat.spec.note)
    if flat.spec.weigh is not None:
        yield "weigh", flat.spec.weigh.what


def _why(key: str, scope: str) -> str:
    return "a note is shown as it is" if key == "note" else f"the step is done for each {scope}"


def _instead(needs: str | None) -> str:
    if needs in ("layer", "coat"):
        return f'write each = "{needs}" and count = 3, or leave it out'
    return "write it in words, or leave it out"


def bare(proof: Proof) -> Iterator[Fault]:
    """Faces that are masked under a name that nothing in the file has."""
    known = {w for text in _words_of_file(proof) for w in _WORD.findall(text.casefold())}
    known |= set(_FACES.split())
    for step in proof.steps.values():
        flat = proof.flat(step)
        strange = [w for w in _WORD.findall(flat.spec.bare.casefold()) if w not in known]
        if strange:
            near = nearest(strange[0], known)
            wrong = f"nothing here is called “{strange[0]}”"
            instead = f'the nearest is "{near}"' if near else "name a part, a step or a face"
            where = (*flat.where, "bare") if not flat.block else proof.of_use(step, "bare")
            yield Fault(where, wrong, instead)


def _words_of_file(proof: Proof) -> Iterator[str]:
    for sheet in proof.of.sheets.values():
        yield from sheet.head.parts
        yield from sheet.head.materials
        for part in sheet.head.parts.values():
            voids = (*part.voids.values(), *((part.void,) if part.void else ()))
            yield from (text for v in voids for text in (v.from_, *v.called))
            yield from (*part.voids, *part.called)
        for flat in sheet.steps:
            yield from (flat.spec.id, flat.spec.do, flat.group.replace("-", " "))


def sure(proof: Proof) -> Iterator[Fault]:
    """Doubts that the maker knows better and that the proofreader never has."""
    head = next(iter(proof.of.sheets.values())).head
    yield from _unknown(head.sure, ("sure",))
    for name, part in head.parts.items():
        yield from _unknown(part.sure, ("parts", name, "sure"))
        for void in voids_of(part).values():
            yield from _unknown(void.sure, ("parts", name, "void", "sure"))
    for step in proof.steps.values():
        flat = proof.flat(step)
        yield from _unknown(flat.spec.sure, (*flat.where, "sure"))


def _unknown(words: tuple[str, ...], where: tuple[str | int, ...]) -> Iterator[Fault]:
    for word in words:
        if word not in DOUBTS:
            yield Fault(where, f"there is no doubt “{word[:40]}”", advice(word, DOUBTS))
