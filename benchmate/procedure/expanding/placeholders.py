"""Names in braces: "{length}" in a text stands for a parameter's value, "{shot of layer}" for a
number that is worked out when the procedure is expanded.

There is no arithmetic: what follows from sizes is worked out by the ready reckoners.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any

from benchmate.fields.problem import Fault, Where
from benchmate.nearest import advice

RECKONED: dict[str, str] = {
    "piece": "the piece's name",
    "part": "the part's name",
    "which void": 'what the void is called: "void" where a part has only one',
    "in which void": '" in the front pocket of the cheek"; nothing where a piece has only one',
    "layer": "the layer's number",
    "layers": "how many layers",
    "coat": "the coat's number",
    "coats": "how many coats",
    "cup": "the cup's number",
    "shot of layer": "shot that this layer takes, in g",
    "resin of layer": "resin that this layer takes, in g",
    "resin of cap": "clear resin on top, in g",
    "part a in cup": "resin to weigh into this cup, in g",
    "part b in cup": "hardener to weigh into this cup, in g",
    "cup total": "all that is mixed in this cup, in g",
    "glue of joint": "glue for one face of the joint, in g",
    "finish of coat": "finish for one coat, in g",
    "weight of sheet": "weight of felt, leather or cloth on the joint's area, in g",
    "time to close": "open time and closed assembly of the glue together",
}
"""Names that are filled in at expansion, and what they mean."""

NO_PARAMETER = "no parameter is named"
NO_STEP = "means nothing here: only a step has a value for it"
_BRACES = re.compile(r"\{([^{}]*)\}")


def names_in(text: str) -> list[str]:
    """The names in braces, in order."""
    return [_plain(m.group(1)) for m in _BRACES.finditer(text)]


def sole_name(text: str) -> str | None:
    """The name, where the text is nothing but one name in braces."""
    found = _BRACES.fullmatch(text.strip())
    return _plain(found.group(1)) if found else None


def fill(text: str, say: Callable[[str], str | None]) -> str:
    """The text with each name that `say` knows replaced; others stay as they are."""

    def put(found: re.Match[str]) -> str:
        said = say(_plain(found.group(1)))
        return found.group(0) if said is None else said

    return _BRACES.sub(put, text)


def resolved(data: Any, values: Mapping[str, Any], where: Where, faults: list[Fault]) -> Any:
    """The data with parameters put in. A text that is one name alone takes the value as it is.

    A key whose text is one name alone and whose value is "" is left out: an option not taken.
    """
    if isinstance(data, str):
        return _text(data, values, where, faults)
    if isinstance(data, list):
        return [resolved(v, values, (*where, i), faults) for i, v in enumerate(data)]
    if isinstance(data, dict):
        pairs = {k: resolved(v, values, (*where, k), faults) for k, v in data.items()}
        return {k: v for k, v in pairs.items() if v != "" or data[k] == ""}
    return data


def _text(text: str, values: Mapping[str, Any], where: Where, faults: list[Fault]) -> Any:
    for name in names_in(text):
        if name not in values and name not in RECKONED:
            known = [*values, *RECKONED]
            faults.append(Fault(where, f"{NO_PARAMETER} “{name[:60]}”", advice(name, known)))
        elif name not in values and _is_of_head(where):
            wrong = f"“{{{name}}}” {NO_STEP}"
            faults.append(Fault(where, wrong, "write it in words, or as a parameter"))
    alone = sole_name(text)
    if alone is not None and alone in values:
        return values[alone]
    return fill(text, lambda name: _shown(values[name]) if name in values else None)


def _is_of_head(where: Where) -> bool:
    """Whether a place is outside the steps; within a block, places begin with a step's number."""
    return bool(where) and isinstance(where[0], str) and where[0] != "steps"


def _shown(value: Any) -> str:
    if isinstance(value, (list, tuple)):
        return " and ".join(str(v) for v in value)
    return str(value)


def _plain(name: str) -> str:
    return " ".join(name.split())
