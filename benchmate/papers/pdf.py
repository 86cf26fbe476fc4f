"""Papers as PDF, by typst: imported only here, and its absence is a sentence.

What a paper says goes in as data (JSON), so that nothing that was typed is ever read as markup.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from importlib import import_module
from pathlib import Path
from typing import Any, Literal

from benchmate.papers.html import breakable
from benchmate.papers.sheet import STEERS, Block, Drawing, PaperSheet, Photo
from benchmate.refusal import Refused

Paper = Literal["a4", "letter"]
HERE = Path(__file__).parent
SIZE_MM: Mapping[Paper, tuple[float, float]] = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
LEFT_MM, RIGHT_MM = 20.0, 9.0
NO_TYPST = (
    "PDF needs typst, which isn't installed (pip install 'benchmate[papers]'); "
    "the HTML prints as well: --html"
)
FIRST_NOT_OURS = "\u2e80"
_WISHES = b"/ViewerPreferences<<"
_TRIES: tuple[dict[str, Any], ...] = (
    {"ignore_system_fonts": True, "pdf_standards": ["ua-1"]},
    {"ignore_system_fonts": False, "pdf_standards": ["ua-1"]},
    {"ignore_system_fonts": False},
)


def to_pdf(sheets: Sequence[PaperSheet], paper: Paper = "a4") -> bytes:
    """All papers as one PDF, each from a new page. Raises Refused where typst is missing."""
    width, height = SIZE_MM[paper]
    data = {
        "title": ", ".join(dict.fromkeys(sheet.title for sheet in sheets)),
        "width_mm": width - LEFT_MM - RIGHT_MM,
        "height_mm": height,
        "card_mm": (height - 30.0) / 3.0 - 2.0,
        "sheets": [
            {**vars(sheet), "blocks": [_block(block) for block in sheet.blocks]} for sheet in sheets
        ],
    }
    return _compiled("flowing.typ", data)


def pages_pdf(title: str, pages: Sequence[Drawing]) -> bytes:
    """Drawings as pages of one PDF, true to size: viewers are asked not to fit them to the sheet.

    Raises Refused where typst is missing.
    """
    data = {"title": title, "pages": [vars(page) for page in pages]}
    return _unscaled(_compiled("placed.typ", data))


def _compiled(source: str, data: Mapping[str, Any]) -> bytes:
    """One of our typst files, fed with data.

    First with our own font and as an accessible PDF (PDF/UA-1); where a name has a character that
    no shipped font draws, with the system's fonts, and then without the promise.
    """
    try:
        typst = import_module("typst")
    except ImportError as missing:
        raise Refused(NO_TYPST) from missing
    inputs = {"d": json.dumps(_each(data), ensure_ascii=False)}
    fonts = [str(HERE / "fonts")]
    failed: Exception | None = None
    # A drawing's letters raise nothing where they have no font: those past our font's scripts are
    # looked for among the system's at once.
    tries = _TRIES[1:] if max(inputs["d"]) >= FIRST_NOT_OURS else _TRIES
    for options in tries:
        try:
            made = typst.compile(str(HERE / source), sys_inputs=inputs, font_paths=fonts, **options)
            return bytes(made)
        except Exception as error:
            failed = error
    assert failed is not None
    raise failed


def _unscaled(pdf: bytes) -> bytes:
    """The file with the wish not to be scaled in print (ISO 32000, PrintScaling): the catalogue is
    its last object, so that nothing but the table's own place moves."""
    wish = b"/PrintScaling/None"
    head, found, tail = pdf.rpartition(_WISHES)
    body, start, end = tail.rpartition(b"startxref\n")
    if not found or not start or b" obj" in body:
        return pdf
    at = int(end.split()[0]) + len(wish)
    return head + found + wish + body + start + str(at).encode() + b"\n%%EOF"


def _block(block: Block) -> dict[str, Any]:
    flat = asdict(block)
    match block:
        case Photo():
            return {"type": "Drawing", **vars(block.drawn())}
        case _ if photo := getattr(block, "photo", None):
            flat["photo"] = vars(photo.drawn())
    return {"type": type(block).__name__, **flat}


def _each(data: Any) -> Any:
    """The same data, its overlong words breakable; drawings stay."""
    match data:
        case str():
            return data if data.startswith("<svg") else breakable(data.translate(STEERS))
        case Mapping():
            return {key: _each(value) for key, value in data.items()}
        case list() | tuple():
            return [_each(value) for value in data]
    return data
