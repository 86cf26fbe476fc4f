"""The catalogue: what sample states make the program say, then every text as it stands in code.

Texts are found by reading the source, so that none can be forgotten: whatever is put together at
run time stands with its placeholders in {braces}.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import benchmate
from tests.sentences.samples import samples

PAGE = Path(__file__).with_name("sentences.md")
_CODE = Path(benchmate.__file__).parent
_WORDS = re.compile(r"[A-Za-z]{2,}[ ,.:;’'] ?\(?[A-Za-z“{]")
"""Two words after one another: anything shorter is a key, a unit or a name."""
_NO_TEXT = re.compile(r"\b(SELECT|INSERT|PRAGMA|CREATE TABLE|DELETE FROM)\b|^\s*[.#$&]|\\[bdsw]")
_HEAD = """# What benchmate can say

Made by `python -m tests.sentences`; a test fails when it is stale. First what sample states make it
say, then every text as it stands in the code, by module: {braces} are filled in at run time. Read
it as a woodworker: no sentence should need a second reading.
"""


def page() -> str:
    """The whole catalogue as a Markdown page."""
    parts = [_HEAD]
    for title, lines in samples():
        parts += [f"\n## {title}\n", *(f"- {line}" for line in lines)]
    for path in sorted(_CODE.rglob("*.py")):
        texts = list(dict.fromkeys(texts_of(path.read_text(encoding="utf-8"))))
        if texts:
            parts += [f"\n## {path.relative_to(_CODE)}\n", *(f"- {text}" for text in texts)]
    return "\n".join(parts) + "\n"


def texts_of(source: str) -> Iterator[str]:
    """The texts of a module that a person may read, in their order; no docstrings."""
    tree = ast.parse(source)
    silent = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
    inner = {id(v) for j in ast.walk(tree) if isinstance(j, ast.JoinedStr) for v in ast.walk(j)}
    for node in ast.walk(tree):
        if id(node) in silent:
            continue
        if isinstance(node, ast.JoinedStr):
            text = _filled(node)
        elif isinstance(node, ast.Constant) and isinstance(node.value, str):
            text = "" if id(node) in inner else node.value
        else:
            continue
        text = " ".join(text.split())
        if _WORDS.search(text) and not _NO_TEXT.search(text):
            yield text


def _filled(node: ast.JoinedStr) -> str:
    """An f-string with its placeholders as they are written."""
    parts = []
    for value in node.values:
        if isinstance(value, ast.Constant):
            parts.append(str(value.value))
        elif isinstance(value, ast.FormattedValue):
            parts.append(f"{{{_short(ast.unparse(value.value))}}}")
    return "".join(parts)


def _short(expression: str) -> str:
    """A placeholder's last name: "{show_mass(answer.net_g)}" is said as "{show_mass(…)}"."""
    return expression if len(expression) <= 40 else expression.split("(")[0][:30] + "(…)"
