"""The catalogue of sentences is up to date, and holds to a few rules of the house's English."""

from __future__ import annotations

import re

import pytest

from tests.sentences.catalogue import PAGE, page, texts_of
from tests.sentences.samples import samples

STALE = "tests/sentences/sentences.md is stale: python -m tests.sentences lays it down anew"
NOT_SAID = {
    "spoiled, not late": "don't trust it",
    "became of": "What happened?",
    "adjustment": "adjustment",
    "laid out": "to hand, have ready",
    "at the latest": "safe from",
    "take it back": "undo",
}
"""What a woodworker had to read twice, and what is said instead."""


@pytest.fixture(scope="module")
def made() -> str:
    return page()


def test_the_catalogue_is_up_to_date(made: str) -> None:
    assert PAGE.read_text(encoding="utf-8") == made, STALE


@pytest.mark.parametrize("old", NOT_SAID)
def test_samples_say_it_plainly(old: str) -> None:
    found = [line for _, lines in samples() for line in lines if old in line]
    assert not found, f"say {NOT_SAID[old]!r}: {found[:3]}"


def test_samples_leave_no_placeholder_and_no_none() -> None:
    odd = [line for _, lines in samples() for line in lines if re.search(r"[{}]|\bNone\b", line)]
    assert not odd


def test_docstrings_and_keys_are_no_sentences() -> None:
    source = '"""A docstring here."""\nx = {"key": f"Cup {n} gels at {when}."}\n'
    assert list(texts_of(source)) == ["Cup {n} gels at {when}."]
