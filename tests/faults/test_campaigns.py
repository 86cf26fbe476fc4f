"""Each fault campaign in its short form, and docs/trust.md held to them."""

from __future__ import annotations

import os

import pytest

from tests.faults.__main__ import NAMES, campaign, run_apart
from tests.faults.page import PAGE, figures, page_of


@pytest.mark.skipif(os.name != "posix", reason="campaigns fork")
@pytest.mark.parametrize("name", NAMES)
def test_a_campaign_in_short_finds_no_defect(name: str) -> None:
    row = run_apart(name, ["--short"])
    assert row.defects == []
    assert any(c.isdigit() and c != "0" for c in row.counts), row.line


def test_the_page_is_as_the_runner_writes_it() -> None:
    assert PAGE.read_text(encoding="utf-8") == page_of(figures(), [campaign(n) for n in NAMES])
