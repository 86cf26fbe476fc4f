"""Where in a file a key stands. Loaded only to explain an error, or to write a note."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from benchmate.fields.problem import Where


@dataclass(frozen=True)
class Heading:
    """One heading and the keys under it, for whoever writes into a file. Places are in bytes."""

    where: Where
    end: int
    """Where its last key's value ends."""
    pairs: dict[Where, tuple[int, int]]
    """Key, to the place of its value."""
    broad: int
    """How broad its keys are written, blanks before the = included."""


def headings_of(text: str) -> list[Heading]:
    """The headings of a TOML text, in the order in which they stand."""
    counts: dict[Where, int] = {}
    found: list[Heading] = []
    for node in _nodes(text):
        keys = _heading_keys(node)
        if not keys:
            continue
        where = _inside(_path(keys[0]), counts)
        if node.type == "table_array_element":
            counts[where] = counts.get(where, -1) + 1
            where = (*where, counts[where])
        pairs = [c for c in node.children if c.type == "pair"]
        places = {_path(c.children[0]): _span(_value_of(c)) for c in pairs}
        broad = max((_broad(c) for c in pairs), default=0)
        found.append(Heading(where, (pairs or keys)[-1].end_byte, places, broad))
    return found


def _value_of(pair: Any) -> Any:
    """What stands behind the =; a comment on the same line is a child of the pair too."""
    equals = next(n for n, c in enumerate(pair.children) if c.type == "=")
    return pair.children[equals + 1]


def _span(node: Any) -> tuple[int, int]:
    return node.start_byte, node.end_byte


def _broad(pair: Any) -> int:
    equals = next(c for c in pair.children if c.type == "=")
    return int(equals.start_point[1] - pair.start_point[1] - 1)


def _nodes(text: str) -> list[Any]:
    import tree_sitter
    import tree_sitter_toml

    parser = tree_sitter.Parser(tree_sitter.Language(tree_sitter_toml.language()))
    return list(parser.parse(text.encode()).root_node.children)


def lines_of(text: str) -> dict[Where, int]:
    """Every key and list item of a TOML text and its line, counted from 1."""
    found: dict[Where, int] = {}
    counts: dict[Where, int] = {}
    for node in _nodes(text):
        if node.type == "pair":
            _pair(node, (), found)
        elif node.type in ("table", "table_array_element"):
            _table(node, counts, found)
    return found


def line_of(where: Where, lines: dict[Where, int]) -> int:
    """The line of a place, or of the nearest thing around it that stands in the file."""
    for length in range(len(where), 0, -1):
        if where[:length] in lines:
            return lines[where[:length]]
    return 1


def _table(node: Any, counts: dict[Where, int], found: dict[Where, int]) -> None:
    keys = _heading_keys(node)
    if not keys:
        return
    here = _inside(_path(keys[0]), counts)
    for length in range(1, len(here)):
        found.setdefault(here[:length], node.start_point[0] + 1)
    if node.type == "table_array_element":
        number = counts.get(here, -1) + 1
        counts[here] = number
        found.setdefault(here, node.start_point[0] + 1)
        here = (*here, number)
    found[here] = node.start_point[0] + 1
    for child in node.children:
        if child.type == "pair":
            _pair(child, here, found)


def _heading_keys(node: Any) -> list[Any]:
    if node.type not in ("table", "table_array_element"):
        return []
    return [c for c in node.children if c.type in ("bare_key", "quoted_key", "dotted_key")]


def _inside(path: Where, counts: dict[Where, int]) -> Where:
    """A heading's path with the positions of the list items it stands in."""
    here: Where = ()
    for place, key in enumerate(path):
        here = (*here, key)
        if place < len(path) - 1 and here in counts:
            here = (*here, counts[here])
    return here


def _path(node: Any) -> Where:
    if node.type == "dotted_key":
        return tuple(k for c in node.children if c.type != "." for k in _path(c))
    text = node.text.decode()
    return (text.strip("\"'") if node.type == "quoted_key" else text,)


def _pair(node: Any, here: Where, found: dict[Where, int]) -> None:
    key, value = node.children[0], _value_of(node)
    path = (*here, *_path(key))
    for length in range(len(here) + 1, len(path) + 1):
        found.setdefault(path[:length], node.start_point[0] + 1)
    _value(value, path, found)


def _value(node: Any, path: Where, found: dict[Where, int]) -> None:
    if node.type == "inline_table":
        for child in node.children:
            if child.type == "pair":
                _pair(child, path, found)
    elif node.type == "array":
        items = [c for c in node.children if c.type not in ("[", "]", ",", "comment")]
        for number, child in enumerate(items):
            found[(*path, number)] = child.start_point[0] + 1
            _value(child, (*path, number), found)
