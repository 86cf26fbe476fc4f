"""An extra step is said in the words it was given: far and in lists; free acts without a name."""

from __future__ import annotations

from pathlib import Path

import pytest

from benchmate.bench.big_view import of_act
from benchmate.bench.short import short_act
from benchmate.job.deciding import commands as cmd
from benchmate.job.events import stored as ev
from benchmate.job.words.event_text import tell
from benchmate.moment import Moment
from benchmate.tui.present.pages.card import Look, card_items
from tests.tui.benches import Shop, text_of


def test_an_extra_step_keeps_its_own_words_in_lists_and_from_afar(tmp_path: Path) -> None:
    shop = Shop(tmp_path).small()
    shop.mix()
    shop.clock.tick(3600.0)
    missed = shop.bench.agenda().ready[0]
    assert missed.kind == "answer"
    assert missed.bound is not None
    shop.bench.do(
        "t",
        cmd.AnswerMissed(
            window=missed.bound.window.address,
            answer="extra step",
            reason="Stand the cup outside to cool, bin it, and mix a fresh one.",
        ),
    )
    act = shop.bench.agenda().ready[0]
    job = shop.bench.shop.jobs["t"]
    assert short_act(job, act).startswith("stand the cup outside")
    what = of_act(job, act, "metric", str).what
    assert any(w.startswith("stand the cup") for w in what)
    assert len(set(what)) == len(what)


@pytest.mark.parametrize(
    ("reason", "said"), [("", ", spoiled"), ("wall broke", ", spoiled: wall broke")]
)
def test_a_spoiled_piece_says_why_where_it_was_said(tmp_path: Path, reason: str, said: str) -> None:
    shop = Shop(tmp_path).bookends("A/block/pour#1")
    shop.bench.do(shop.job, cmd.Spoil(piece="A", reason=reason))
    job = shop.bench.shop.jobs[shop.job]
    look = Look((), shop.bench.shop.rules, "metric", str)
    rows = text_of([row for item in card_items(job, look, 80) for row in item.lines]).split("\n")
    assert next(r for r in rows if "bookend A" in r and " of " in r).rstrip().endswith(said)


def test_a_free_act_without_a_name_ends_with_its_act() -> None:
    now = Moment(0)
    assert tell(ev.FreeAct(happened=now, recorded=now, address="", act="poured")) == "poured"
