"""What the trade does anyway stands in the blocks and the shelf; a file says where it differs."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path

import pytest

from benchmate.plan.plan import Plan
from benchmate.shelf.material import Material
from benchmate.shelf.stock import keeps_until, too_old
from tests.tui.benches import Shop
from tests.unit.language_help import FILLED, plan_of, step

POUR = '[[steps]]\nuse = "shot pour"\npart = "block"\nlayers = 2\n'
GLUE = '[[steps]]\nuse = "wood-glue joint in clamps"\nof = ["block", "cover"]\n'
OIL = '[[steps]]\nuse = "wiped oil coats"\ncoats = 2\n'
FILM = (
    FILLED.replace('"hard oil"', '"hard oil"\nfinish = "clear film finish, water-borne"')
    + '[[steps]]\nuse = "film-finish coats"\ncoats = 3\n'
)


@dataclass(frozen=True)
class Default:
    """A file, a step that comes by itself, and the clock it waits for by its tail."""

    text: str
    tail: str
    waits: str


DEFAULTS = {
    "the tape comes off while the cap gives": Default(
        FILLED + POUR, "A/block/pull-tape#1", "cap#1:tacky"
    ),
    "without a cap while the last layer does": Default(
        FILLED + POUR + 'cap = "none"\n', "A/block/pull-tape#1", "pour#2:tacky"
    ),
    "squeeze-out comes off while it is rubbery": Default(
        FILLED + GLUE, "A/all/scrape#1", "clamp#1:squeeze-out"
    ),
    "spacers are loosened at the gel": Default(
        FILLED + POUR + 'spacers = "spacers"\n', "A/block/loosen#1", "cap#1:tacky"
    ),
    "a coat is scuffed from the second on": Default(FILM, "A/all/scuff#2", "coat#1:recoat"),
}


@pytest.mark.parametrize("case", DEFAULTS.values(), ids=list(DEFAULTS))
def test_what_the_trade_does_anyway_needs_no_word_in_the_file(case: Default) -> None:
    found = step(plan_of(case.text), case.tail)
    assert any(w.endswith(case.waits) for w in found.waits), found.waits


def _has(plan: Plan, tail: str) -> bool:
    return any(s.address.endswith(tail) for s in plan.steps)


@pytest.mark.parametrize(
    ("text", "tail"),
    [
        pytest.param(FILLED + POUR + 'tape_off = "cured"\n', "pull-tape#1", id="tape to the end"),
        pytest.param(FILLED + POUR, "loosen#1", id="no spacers"),
        pytest.param(FILLED + GLUE + 'squeeze_out = ""\n', "scrape#1", id="squeeze-out left on"),
        pytest.param(FILM, "A/all/scuff#1", id="bare wood isn't scuffed"),
    ],
)
def test_what_a_file_says_otherwise_or_has_no_need_of_stays_out(text: str, tail: str) -> None:
    assert not _has(plan_of(text), tail)


@pytest.mark.parametrize("coats", [1, 3])
def test_the_first_coat_follows_what_stands_before_the_scuffing_it_does_without(
    coats: int,
) -> None:
    sand = '[[steps]]\nid = "sand"\ndo = "Sand it."\n'
    text = FILM.replace('[[steps]]\nuse = "film', sand + '[[steps]]\nuse = "film')
    plan = plan_of(text.replace("coats = 3", f"coats = {coats}"))
    assert step(plan, "A/all/coat#1").after == ("j/A/all/sand#1",)


def test_rags_bring_their_caution_and_each_coat_a_fresh_one() -> None:
    plan = plan_of(FILLED + OIL)
    assert all("oily rags" in s.cautions for s in plan.steps if s.rag)
    assert "fresh rag" in step(plan, "A/all/oil#2").do


@pytest.mark.parametrize(
    ("family", "keeps_d", "until", "by"),
    [
        ("hard oil", None, date(2026, 5, 2), "rule of thumb"),
        ("raw linseed oil", None, date(2027, 5, 2), "rule of thumb"),
        ("hard oil", 90.0, date(2025, 7, 31), "its label"),
        ("steel 2 mm", None, None, ""),
    ],
)
def test_an_opened_can_of_oil_keeps_a_year_unless_its_label_says_more_or_less(
    family: str, keeps_d: float | None, until: date | None, by: str
) -> None:
    can = Material(name="can", family=family, opened_on="2025-05-02", keeps_d=keeps_d)
    assert keeps_until(can) == until
    said = too_old(can, date(2030, 1, 1))
    assert said == "" if until is None else f"by {by} it kept until {until}" in said


def test_a_tape_that_is_pulled_late_is_no_missed_clock(tmp_path: Path) -> None:
    shop = Shop(tmp_path).bookends("pull-tape#1")
    said = {v.window.opens_text for v in shop.bench.agenda().windows if "tacky" in v.address}
    assert said == {"pull tape"}, "no next layer follows the cap"
    shop.clock.tick(40 * 3600.0)
    assert not [v for v in shop.bench.agenda().windows if v.asks]
    act = shop.bench.agenda().next
    assert act is not None
    assert act.kind == "do"
