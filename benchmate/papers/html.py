"""A flowing paper as one HTML file: no scripts, nothing from elsewhere, right on paper too."""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Iterable, Iterator, Sequence
from html import escape

from benchmate.papers.sheet import (
    Block,
    Caution,
    Drawing,
    Heading,
    PageBreak,
    Paragraph,
    Photo,
    Sheet,
    Table,
    Ticks,
)

STYLE = """
:root { color-scheme: light dark; --ink: #111; --paper: #fff; --line: #767676; --fill: #eee; }
@media (prefers-color-scheme: dark) {
  :root { --ink: #eee; --paper: #161616; --line: #8d8d8d; --fill: #2a2a2a; } }
@media print { :root { --ink: #000; --paper: #fff; --line: #6e6e6e; --fill: #eee; }
  .break { break-before: page; } }
@page { margin: 9mm 9mm 12mm 20mm; }
body { color: var(--ink); background: var(--paper); max-width: 50rem; margin: 1rem auto;
  padding: 0 .7rem; font: 1rem/1.4 "DejaVu Sans Condensed", "DejaVu Sans", sans-serif;
  overflow-wrap: anywhere; }
h1 { font-size: 1.6rem; margin: 0; } h2 { font-size: 1.2rem; margin: 1.4rem 0 .3rem; }
h3 { font-size: 1rem; margin: 1rem 0 .2rem; }
.sub { margin: .2rem 0 .6rem; padding-bottom: .4rem; border-bottom: .15rem solid; }
.wide { overflow-x: auto; }
table { border-collapse: collapse; width: 100%; margin: .3rem 0; }
caption { text-align: left; font-weight: bold; padding: .3rem 0; }
th, td { border: 1px solid var(--line); padding: .2rem .4rem; text-align: left;
  vertical-align: top; }
th { background: var(--fill); } .n { text-align: right; white-space: nowrap; }
.blank { min-width: 5rem; height: 1.7rem; }
ul.ticks { list-style: none; padding: 0; } ul.ticks li::before { content: "\\2610\\00a0\\00a0"; }
.caution { border-left: .3rem solid; padding: .1rem .7rem; margin: .5rem 0; }
figure { margin: .6rem 0; background: #fff; width: fit-content; max-width: 100%; }
figure svg, figure img { max-width: 100%; height: auto; display: block; }
footer { margin-top: 1.5rem; font-size: .85rem; border-top: 1px solid var(--line); }
h2, h3, caption { break-after: avoid; } tr, figure, .caution { break-inside: avoid; }
"""
BOX = "\u2610"


def to_html(sheets: Sequence[Sheet], language: str = "en") -> str:
    """One self-contained file of all the papers, each from a new page."""
    title = ", ".join(dict.fromkeys(sheet.title for sheet in sheets))
    body = "\n".join(
        f"<article{' class=break' if n else ''}>\n{_article(sheet)}\n</article>"
        for n, sheet in enumerate(sheets)
    )
    return (
        f'<!DOCTYPE html>\n<html lang="{escape(language)}">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{escape(title)}</title>\n<style>{STYLE}</style>\n</head>\n"
        f"<body>\n<main>\n{body}\n</main>\n</body>\n</html>\n"
    )


def _article(sheet: Sheet) -> str:
    parts = [f"<h1>{escape(sheet.title)}</h1>", f'<p class="sub">{escape(sheet.subtitle)}</p>']
    parts += [_block(block) for block in sheet.blocks]
    if sheet.foot:
        parts.append(f"<footer>{escape(sheet.foot)}</footer>")
    return "\n".join(parts)


def _block(block: Block) -> str:
    match block:
        case Heading(text, level):
            return f"<h{level}>{escape(text)}</h{level}>"
        case Paragraph(text, is_strong):
            said = f"<strong>{escape(text)}</strong>" if is_strong else escape(text)
            return f"<p>{said}</p>"
        case Ticks(items):
            return f'<ul class="ticks">{_wrapped("li", items)}</ul>'
        case Caution(name, text):
            strong = f"<strong>▲ {escape(name)}.</strong>"
            return f'<div class="caution">{strong} {escape(text)}</div>'
        case Drawing():
            svg = block.svg.replace("<svg ", '<svg role="img" ', 1)
            return f'<figure aria-label="{escape(block.alternative)}">{svg}</figure>'
        case Photo():
            data = b64encode(block.data).decode("ascii")
            alternative = escape(block.alternative)
            source = f"data:{escape(block.mime)};base64,{data}"
            return f'<figure><img src="{source}" alt="{alternative}"></figure>'
        case PageBreak():
            return '<div class="break"></div>'
        case Table():
            return _table(block)


def _table(table: Table) -> str:
    heads = "".join(
        f'<th scope="col"{_class(column.kind)}>{escape(column.head)}</th>'
        for column in table.columns
    )
    rows = "\n".join(f"<tr>{''.join(_cells(table, row))}</tr>" for row in table.rows)
    return (
        f'<div class="wide"><table>\n<caption>{escape(table.caption)}</caption>\n'
        f"<thead><tr>{heads}</tr></thead>\n<tbody>\n{rows}\n</tbody>\n</table></div>"
    )


def _cells(table: Table, row: Sequence[str]) -> Iterator[str]:
    for column, text in zip(table.columns, row, strict=True):
        shown = escape(text) or (BOX if column.kind == "tick" else "")
        yield f"<td{_class(column.kind)}>{shown}</td>"


def _class(kind: str) -> str:
    name = {"number": "n", "blank": "blank", "tick": "n"}.get(kind, "")
    return f' class="{name}"' if name else ""


def _wrapped(tag: str, items: Iterable[str]) -> str:
    return "".join(f"<{tag}>{escape(item)}</{tag}>" for item in items)
