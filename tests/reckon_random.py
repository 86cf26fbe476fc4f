"""Random inputs for any reckoner, made from its own description.

Most are sensible, some are at or beyond the edges, some are what a tired maker types. What comes
back must be a finite answer or one sentence, never anything else.
"""

import json
import math
from random import Random
from typing import Any

from benchmate.reckon import Answer, Refused
from benchmate.reckon.asking.answering import answer_with
from benchmate.reckon.asking.frame import Input, Reckoner

ODD_TEXTS = (
    "",
    " ",
    "abc",
    "OL",
    "NaN",
    "inf",
    "-1",
    "0",
    "1e308",
    "1e-308",
    "-0",
    "9" * 60,
    "1,234",
    "12,5",
    "3/4",
    "1/0",
    "5 g",
    "7 mm",
    "3/4 in",
    "1 h 30",
    "64 °F",
    "60 %",
    "[1, 2]",
    "{}",
    "null",
    "[[[",
    '{"a": NaN}',
    "yes",
    "\x1b[2J",
    "ⅷ",
    "@nowhere",
    "x" * 400,
    "true",
)


def random_inputs(reckoner: Reckoner, chance: Random) -> dict[str, object]:
    """Return typed inputs; about half of them should have an answer."""
    wild = chance.random() < 0.3
    typed: dict[str, object] = {}
    for item in reckoner.inputs:
        given = item.key in reckoner.example or item.must_be_given
        if chance.random() < (0.95 if given else 0.12):
            typed[item.key] = _value(item, reckoner, chance, wild=wild)
    if wild and chance.random() < 0.1:
        typed[chance.choice(["", "void", "shot", "x" * 90])] = "1"
    return typed


def _value(item: Input, reckoner: Reckoner, chance: Random, *, wild: bool) -> object:
    if wild and chance.random() < 0.3:
        return chance.choice(ODD_TEXTS)
    if item.takes == "choice":
        return chance.choice(item.choices)
    if item.takes == "flag":
        return chance.choice(["yes", "no"])
    example = reckoner.example.get(item.key)
    if item.takes in ("word", "data", "ratio", "numbers"):
        return _near_example(example, chance, wild=wild)
    return _number(item, example, chance)


def _number(item: Input, example: str | None, chance: Random) -> object:
    low = item.low if item.low is not None else item.above if item.above is not None else -1e3
    high = item.high if item.high is not None else max(1e4, low * 2)
    way = chance.random()
    if item.takes == "count":
        return str(chance.randint(int(low), int(min(high, low + 20))))
    if way < 0.4 and example is not None:
        return example
    near = _scaled(example, chance)
    if way < 0.85 and near is not None:
        return near
    if way < 0.88:
        return repr(chance.choice([low, high]))
    if low >= 0 and way < 0.97:
        return repr(math.exp(chance.uniform(math.log(max(low, 1e-3)), math.log(max(high, 1e-2)))))
    return repr(chance.uniform(low, high))


def _scaled(example: str | None, chance: Random) -> str | None:
    try:
        return repr(float(example or "") * chance.uniform(0.7, 1.4))
    except ValueError:
        return None


def _near_example(example: str | None, chance: Random, *, wild: bool) -> object:
    if example is None or (wild and chance.random() < 0.2):
        return chance.choice(ODD_TEXTS)
    try:
        data = json.loads(example)
    except ValueError:
        return example if not wild else _mangled(example, chance)
    return json.dumps(_shaken(data, chance, wild=wild))


def _mangled(text: str, chance: Random) -> str:
    spot = chance.randrange(len(text))
    return text[:spot] + chance.choice(["", "x", "é", "0"]) + text[spot + chance.randint(0, 2) :]


def _shaken(data: Any, chance: Random, *, wild: bool) -> Any:
    if wild and chance.random() < 0.05:
        return chance.choice([None, "", [], {}, -1, 0, 1e300, "3/4 in", True, [data], {"a": data}])
    if isinstance(data, dict):
        kept = {k: v for k, v in data.items() if not wild or chance.random() > 0.05}
        return {k: _shaken(v, chance, wild=wild) for k, v in kept.items()}
    if isinstance(data, list):
        return [_shaken(v, chance, wild=wild) for v in data]
    if isinstance(data, int | float) and not isinstance(data, bool):
        return data * chance.choice([1, 1, 1, 0.5, 1.5, 3, 0, -1] if wild else [1, 1, 0.8, 1.3])
    return data


def outcome(reckoner: Reckoner, typed: dict[str, object]) -> str:
    """Return "answered" or the sentence of the refusal; asserts that it is nothing worse."""
    try:
        found = answer_with(reckoner, typed)
    except Refused as refusal:
        return _sound_sentence(str(refusal), typed)
    _assert_sound(found)
    return "answered"


def _sound_sentence(text: str, typed: dict[str, object]) -> str:
    assert text.strip(), f"an empty refusal for {typed}"
    for sentence in text.split("\n"):
        assert sentence.isprintable(), f"{sentence!r} for {typed}"
        assert len(sentence) < 600, f"a refusal of {len(sentence)} characters for {typed}"
    return text


def _assert_sound(found: Answer) -> None:
    json.dumps(found.to_json(), allow_nan=False)
    assert all(note.strip() and note.isprintable() for note in found.notes), found.notes
