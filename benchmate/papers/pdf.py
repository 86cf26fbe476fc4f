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

from benchmate.papers.sheet import Block, Photo, Sheet
from benchmate.refusal import Refused

Paper = Literal["a4", "letter"]
HERE = Path(__file__).parent
FONTS = HERE / "fonts"
SIZE_MM: Mapping[Paper, tuple[float, float]] = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
_TYPST_NAMES = {"a4": "a4", "letter": "us-letter"}
LEFT_MM, RIGHT_MM = 20.0, 9.0
NO_TYPST = (
    "PDF needs typst, which isn't installed (pip install 'benchmate[papers]'); "
    "the HTML prints as well: --html"
)
_LONG_WORD, _EVERY = 25, 4


def to_pdf(sheets: Sequence[Sheet], paper: Paper = "a4", language: str = "en") -> bytes:
    """All papers as one PDF, each from a new page. Raises Refused where typst is missing."""
    title = ", ".join(dict.fromkeys(sheet.title for sheet in sheets))
    data = {
        "title": title,
        "lang": language,
        "paper": _TYPST_NAMES[paper],
        "width_mm": SIZE_MM[paper][0] - LEFT_MM - RIGHT_MM,
        "sheets": [_sheet(sheet) for sheet in sheets],
    }
    return compiled("flowing.typ", data)


def compiled(source: str, data: Mapping[str, Any]) -> bytes:
    """One of our typst files, fed with data.

    First with our own font and as an accessible PDF (PDF/UA-1); where a name has a character that
    no shipped font draws, with the system's fonts, and then without the promise.
    """
    try:
        typst = import_module("typst")
    except ImportError as missing:
        raise Refused(NO_TYPST) from missing
    inputs = {"d": json.dumps(breakable(data), ensure_ascii=False)}
    tries: tuple[dict[str, Any], ...] = (
        {"ignore_system_fonts": True, "pdf_standards": ["ua-1"]},
        {"ignore_system_fonts": False, "pdf_standards": ["ua-1"]},
        {"ignore_system_fonts": False},
    )
    for n, options in enumerate(tries):
        try:
            made = typst.compile(
                str(HERE / source), sys_inputs=inputs, font_paths=[str(FONTS)], **options
            )
        except Exception:
            if n == len(tries) - 1:
                raise
        else:
            assert isinstance(made, bytes)
            return made
    raise AssertionError("the last try raises or returns")


def _sheet(sheet: Sheet) -> dict[str, Any]:
    return {
        "title": sheet.title,
        "subtitle": sheet.subtitle,
        "foot": sheet.foot,
        "blocks": [_block(block) for block in sheet.blocks],
    }


def _block(block: Block) -> dict[str, Any]:
    if isinstance(block, Photo):
        return {"type": "Photo", "data": list(block.data), "alternative": block.alternative}
    return {"type": type(block).__name__, **asdict(block)}


def breakable(data: Any) -> Any:
    """The same data, its overlong words with a place to break every few letters; drawings stay."""
    match data:
        case str():
            return data if data.startswith("<svg") else " ".join(map(_broken, data.split(" ")))
        case Mapping():
            return {key: breakable(value) for key, value in data.items()}
        case list() | tuple():
            return [breakable(value) for value in data]
    return data


def _broken(word: str) -> str:
    if len(word) <= _LONG_WORD:
        return word
    return "\u200b".join(word[n : n + _EVERY] for n in range(0, len(word), _EVERY))


def pages_pdf(title: str, pages: Sequence[tuple[str, float, float, str]]) -> bytes:
    """Drawings as pages of one PDF: each its SVG, width and height in mm, and what it shows.

    Raises Refused where typst is missing.
    """
    keys = ("svg", "width_mm", "height_mm", "alternative")
    made = [dict(zip(keys, page, strict=True)) for page in pages]
    return compiled("placed.typ", {"title": title, "lang": "en", "pages": made})
