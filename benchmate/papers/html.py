"""A flowing paper as one HTML file: no scripts, nothing from elsewhere, right on paper too."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from html import escape as escaped
from itertools import groupby
from pathlib import Path
from textwrap import wrap

from benchmate.papers import sheet as paper

STYLE = Path(__file__).with_name("page.css").read_text("utf-8")
LONG = re.compile(r"\S{26,}")
"""Words that would run off a narrow column."""
BOX = "\u2610"
_CLASS = {"number": "n", "large": "n big", "blank": "blank"}


def breakable(text: str) -> str:
    """Overlong words with a place to break every few letters."""
    return LONG.sub(lambda word: "\u200b".join(wrap(word[0], 4)), text)


def escape(text: str) -> str:
    """As text of the page."""
    return escaped(breakable(text))


def to_html(sheets: Sequence[paper.PaperSheet]) -> str:
    """One self-contained file of all the papers, each from a new page."""
    title = ", ".join(dict.fromkeys(sheet.title for sheet in sheets))
    body = "\n".join(
        f"<article{' class=break' if n else ''}>\n{_article(sheet)}\n</article>"
        for n, sheet in enumerate(sheets)
    )
    return (
        f'<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{escape(title)}</title>\n<style>{STYLE}</style>\n</head>\n"
        f'<body class="paper">\n<main>\n{body}\n</main>\n</body>\n</html>\n'
    ).translate(paper.STEERS)


def _article(sheet: paper.PaperSheet) -> str:
    aside = f'<span class="aside">{escape(sheet.aside)}</span>' if sheet.aside else ""
    parts = [f"<header><h1>{escape(sheet.title)}</h1>{aside}</header>"]
    parts += [f'<p class="sub">{escape(sheet.subtitle)}</p>', *map(_block, sheet.blocks)]
    if sheet.foot:
        parts.append(f"<footer>{escape(sheet.foot)}</footer>")
    return "\n".join(parts)


def _block(block: paper.Block) -> str:
    match block:
        case paper.SheetHeading(text, level):
            return f"<h{level}>{escape(text)}</h{level}>"
        case paper.Paragraph(text):
            return f"<p>{escape(text)}</p>"
        case paper.Ticks(items):
            return f'<ul class="ticks">{"".join(f"<li>{escape(item)}</li>" for item in items)}</ul>'
        case paper.Lines(head, count):
            return f"<h2>{escape(head)}</h2>" + '<div class="line"></div>' * count
        case paper.Caution(name, text):
            strong = f"<strong>▲ {escape(name)}.</strong>"
            return f'<div class="caution">{strong} {escape(text)}</div>'
        case paper.Drawing() | paper.Photo():
            return _picture(block)
        case paper.PageBreak():
            return '<div class="break"></div>'
        case paper.Card():
            return _card(block)
        case paper.SheetTable():
            return _table(block)


def _picture(block: paper.Drawing | paper.Photo) -> str:
    alternative = escape(block.alternative)
    if isinstance(block, paper.Drawing):
        svg = block.svg.replace("<svg ", '<svg role="img" ', 1)
        return f'<figure aria-label="{alternative}">{svg}</figure>'
    return f'<figure><img src="{escaped(block.source)}" alt="{alternative}"></figure>'


def _card(card: paper.Card) -> str:
    pictures = "".join(_picture(one) for one in (card.drawing, card.photo) if one is not None)
    code = _picture(card.qr) if card.qr is not None else ""
    says = "".join(f"<h3>{escape(head)}</h3><p>{escape(text)}</p>" for head, text in card.says)
    return (
        f'<section class="card"><header><h2>{escape(card.title)}</h2>'
        f'<span class="aside">{escape(card.aside)}</span></header>'
        f'<p class="sub">{escape(card.under)}</p>{pictures}{says}'
        f'<div class="foot">{code}<p>{escape(card.signed)}<br>{escape(card.code)}</p>'
        "</div></section>"
    )


def _table(table: paper.SheetTable) -> str:
    heads = "".join(
        f'<th scope="col"{_class(column.kind)}>{escape(column.head)}</th>'
        for column in table.columns
    )
    stage = '<th scope="col">stage</th>' if table.stages else ""
    return (
        f'<div class="wide"><table>\n<caption>{escape(table.caption)}</caption>\n'
        f"<thead><tr>{stage}{heads}</tr></thead>\n{_bodies(table)}\n</table></div>"
    )


def _bodies(table: paper.SheetTable) -> str:
    rows = [f"{''.join(_cells(table, row))}</tr>" for row in table.rows]
    if not table.stages:
        return "<tbody>\n" + "\n".join(f"<tr>{row}" for row in rows) + "\n</tbody>"
    made = []
    for stage, members in groupby(zip(table.stages, rows, strict=True), key=lambda one: one[0]):
        cells = [row for _, row in members]
        head = f'<tr><th scope="rowgroup" rowspan="{len(cells)}">{escape(stage)}</th>'
        made.append(f'<tbody class="stage">{head}{"<tr>".join(cells)}</tbody>')
    return "\n".join(made)


def _cells(table: paper.SheetTable, row: Sequence[str]) -> Iterator[str]:
    for column, text in zip(table.columns, row, strict=True):
        shown = BOX * int(text or 1) if column.kind == "tick" else escape(text)
        yield f"<td{_class(column.kind)}>{shown}</td>"


def _class(kind: str) -> str:
    return f' class="{_CLASS[kind]}"' if kind in _CLASS else ""
