"""What a form calls a reckoner's inputs and results: words, where a command types their keys."""

import re
from collections import Counter
from collections.abc import Iterable, Mapping

from benchmate.reckon.asking.frame import Input, Reckoner, Result
from benchmate.reckon.asking.suffixes import SUFFIXES, unit_of

_HOW = re.compile(r"; give it as \w+=…")


def labels_of(reckoner: Reckoner) -> dict[str, str]:
    """Key → words, of inputs and results; two of one name are told apart by their unit."""
    words: dict[str, str] = {}
    for items in (reckoner.inputs, reckoner.results):
        words |= _apart(items)
    return words


def _apart(items: Iterable[Input | Result]) -> dict[str, str]:
    found = {item.key: _words(item) for item in items}
    often = Counter(found.values())
    units = {item.key: unit_of(item.key, item.unit).shown for item in items}
    return {
        key: f"{text} ({units[key]})" if often[text] > 1 and units[key] else text
        for key, text in found.items()
    }


def _words(item: Input | Result) -> str:
    """The key without its unit; where a letter is all that is left, what it means."""
    fitting = [s for s in SUFFIXES if item.key.endswith(s)]
    words = item.key.removesuffix(max(fitting, key=len, default="")).split("_")
    if words[0] == "u" and len(words) > 1:
        return f"± {' '.join(words[1:])}"
    if any(len(word) == 1 for word in words):
        return re.split(r"[,;:(]", item.meaning)[0].strip()
    return " ".join(words)


def in_labels(text: str, labels: Mapping[str, str]) -> str:
    """A sentence that names keys, with what the form calls them instead."""
    keys = sorted((k for k in labels if "_" in k), key=len, reverse=True)
    if not keys:
        return text
    named = re.compile(rf"(?<![\w.\"])({'|'.join(keys)})(?![\w\"])")
    return named.sub(lambda m: labels[m[1]], _HOW.sub("; type it", text))
