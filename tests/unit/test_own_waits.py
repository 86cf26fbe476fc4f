"""Clocks of this shop: what was found when they were tested, and what the next ones make of it."""

from collections.abc import Iterator
from math import inf
from pathlib import Path

import msgspec
import pytest

from benchmate.bench import Bench
from benchmate.bench.shelf.own_waits import leave_waits, own_waits, sooner, take_waits
from benchmate.bench.shelf.shelf import describe_material, find_material, start_clock, with_label
from benchmate.clock import SetClock
from benchmate.job.deciding import commands as cmd
from benchmate.job.deciding.streams.commands import ReadAir
from benchmate.job.windows.windows import WindowView
from benchmate.job.words.phrases import window_text
from benchmate.learning.waits import Span, learned_wait
from benchmate.planner.waits import Waits
from benchmate.refusal import Refused
from benchmate.settings import Settings, find_folders
from benchmate.shelf import Material
from benchmate.shelf.clocks import windows_of
from benchmate.shelf.questions import new_material
from tests.unit.desk_help import Desk
from tests.unit.loop_help import START, Worked

RESIN = "test resin"
HOUR_S = 3600.0


class TestLearnedWait:
    @pytest.mark.parametrize(
        ("spans", "longer", "sooner"),
        [
            ([], (1.0, 1.0), (1.0, 1.0)),
            ([(0.0, 1.2)] * 9, (1.0, 1.0), (1.0, 1.0)),
            ([(0.5, inf)], (1.0, 1.0), (1.0, 1.0)),
            ([(1.0, inf)], (1.1, 1.26), (1.0, 1.0)),
            ([(1.0, 1.3)], (1.05, 1.3), (1.0, 1.0)),
            ([(1.0, 1.3)] * 6, (1.1, 1.3), (1.0, 1.0)),
            ([(1.4, 1.6)] * 6 + [(0.0, 0.2)], (1.4, 1.6), (1.0, 1.0)),
            ([(0.0, 0.6)] * 2, (1.0, 1.0), (1.0, 1.0)),
            ([(0.4, 0.6)] * 5, (1.0, 1.0), (0.6, 0.75)),
            ([(0.35, 0.45)] * 7, (1.0, 1.0), (0.5, 0.55)),
            ([(2.0, 9.0)] * 5, (2.0, 3.0), (1.0, 1.0)),
        ],
        ids=[
            "none",
            "never looked before",
            "tested too early",
            "not yet",
            "a little later",
            "always later",
            "one slip",
            "two are too few",
            "sooner",
            "never below half",
            "never beyond three times",
        ],
    )
    def test_longer_on_the_safe_side_sooner_only_where_it_was_seen(
        self,
        spans: list[tuple[float, float]],
        longer: tuple[float, float],
        sooner: tuple[float, float],
    ) -> None:
        got = learned_wait(tuple(Span(*span) for span in spans))
        assert longer[0] <= got.longer <= longer[1]
        assert sooner[0] <= got.sooner <= sooner[1]
        assert got.n == len(spans)


class Pours:
    """A bench with one resin: the next layer may go on after 5 h at 20 °C, by its label."""

    def __init__(self, home: Path) -> None:
        self.clock = SetClock(START)
        self.bench = Bench.open(find_folders(home), Settings(), clock=self.clock)
        material = new_material(RESIN, "slow casting epoxy")
        label = {"tacky.opens": "5 h at 20 °C", "tacky.closes": "12 h at 20 °C"}
        describe_material(self.bench, with_label(material, label))

    @property
    def resin(self) -> Material:
        return find_material(self.bench, RESIN)

    def pour(self, name: str) -> WindowView:
        """Pour a layer; the clock that the next one waits for."""
        start_clock(self.bench, self.resin, "poured", name=name)
        return self.view(name)

    def view(self, name: str) -> WindowView:
        views = self.bench.agenda().windows
        return next(v for v in views if v.window.label == f"{name}, tacky")

    def tested(self, name: str, after_s: float, *, ready: bool) -> None:
        """A test so long after the pour."""
        view = self.view(name)
        self.clock.tick(view.anchor + after_s - self.bench.now_s())
        self.bench.do(view.job, cmd.Try(window=view.address, ready=ready))

    def late(self, name: str) -> None:
        """A layer that wasn't ready when its label says so, and was 2 h later."""
        self.pour(name)
        self.tested(name, 5 * HOUR_S, ready=False)
        self.tested(name, 7 * HOUR_S, ready=True)

    def soon(self, name: str) -> None:
        """A layer that was ready after 3 h."""
        self.pour(name)
        self.tested(name, 2 * HOUR_S, ready=False)
        self.tested(name, 3 * HOUR_S, ready=True)


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Pours]:
    made = Pours(tmp_path)
    yield made
    made.bench.close()


def hours(view: WindowView) -> float:
    assert view.opens is not None
    return (view.opens.middle - view.anchor) / HOUR_S


def test_a_longer_wait_holds_for_the_next_clock_at_once_and_moves_none_that_runs(
    shop: Pours,
) -> None:
    shop.pour("foot")
    running = shop.pour("lid")
    shop.late("cap")
    assert hours(shop.view("lid")) == hours(running) == pytest.approx(5.0)
    after = shop.pour("base")
    assert 5.25 < hours(after) <= 7.0
    assert after.opens is not None
    assert after.opens.own == 1
    assert (after.opens.label_at - after.anchor) / HOUR_S == pytest.approx(5.0)
    assert "as 1× seen here; label" in window_text(after, lambda s: f"{s:.0f}")
    assert "1× seen here; label 5 h" in own_waits(shop.bench, shop.resin)[0]


def test_the_day_sheet_waits_so_long_too_and_for_that_material_alone(shop: Pours) -> None:
    shop.late("cap")
    spare = msgspec.structs.replace(shop.resin, name="spare resin")
    waits = Waits(shop.bench.shop.around, shop.bench.now_s())
    windows = [
        next(w for w in windows_of(resin, "poured") if w.name == "tacky")
        for resin in (spare, shop.resin)
    ]
    by_label, own = (waits.of(window).opens for window in windows)
    assert by_label is not None
    assert own is not None
    assert own > 1.05 * by_label


def test_it_may_not_open_after_it_has_closed(shop: Pours) -> None:
    for name in ("A", "B", "C"):
        shop.pour(name)
        shop.tested(name, 11.5 * HOUR_S, ready=False)
    after = shop.pour("D")
    assert after.opens is not None
    assert after.closes is not None
    assert 10.0 < hours(after) < (after.closes.middle - after.anchor) / HOUR_S


@pytest.mark.parametrize("celsius", [15.0, 26.0])
def test_what_the_air_did_is_taken_out_first(shop: Pours, celsius: float) -> None:
    shop.bench.settle(ReadAir(place="shop", temperature_c=celsius, stands=True))
    wait_s = HOUR_S * hours(shop.pour("lid"))
    assert abs(wait_s / HOUR_S - 5.0) > 1.0
    shop.tested("lid", wait_s, ready=False)
    (seen,) = shop.bench.shop.lessons.waits.values()
    assert seen.not_by_s == pytest.approx(5 * HOUR_S, rel=1e-3)
    assert (seen.label_s, seen.by_s) == (5 * HOUR_S, None)


def test_a_shorter_wait_is_only_offered_and_taken_by_a_key(shop: Pours) -> None:
    for name in ("A", "B"):
        shop.soon(name)
    assert sooner(shop.bench, shop.resin) == []
    for name in ("C", "D", "E"):
        shop.soon(name)
    assert hours(shop.pour("F")) == pytest.approx(5.0)
    assert "clocks go by the label 5 h until you take it" in own_waits(shop.bench, shop.resin)[0]
    take_waits(shop.bench, shop.resin)
    shop.clock.tick(60.0)
    assert 3.0 <= hours(shop.pour("G")) < 4.5
    shop.clock.tick(60.0)
    leave_waits(shop.bench, shop.resin)
    shop.clock.tick(60.0)
    assert hours(shop.pour("H")) == pytest.approx(5.0)
    with pytest.raises(Refused):
        leave_waits(shop.bench, shop.resin)


def test_what_is_taken_gives_way_to_what_is_seen_later(shop: Pours) -> None:
    for name in "ABCDE":
        shop.soon(name)
    take_waits(shop.bench, shop.resin)
    for name in "FGHIJKL":
        shop.clock.tick(60.0)
        shop.late(name)
    shop.clock.tick(60.0)
    assert hours(shop.pour("M")) >= 5.0


def test_a_test_that_is_undone_teaches_nothing(shop: Pours) -> None:
    shop.pour("lid")
    shop.tested("lid", 5 * HOUR_S, ready=False)
    assert shop.bench.shop.lessons.waits
    shop.bench.do(shop.view("lid").job, cmd.TakeBack())
    assert not shop.bench.shop.lessons.waits
    assert hours(shop.pour("foot")) == pytest.approx(5.0)


def test_what_only_runs_out_is_not_tested(shop: Pours) -> None:
    start_clock(shop.bench, shop.resin, "mixed", name="cup", grams=50.0)
    view = shop.bench.agenda().windows[0]
    with pytest.raises(Refused):
        shop.bench.do(view.job, cmd.Try(window=view.address, ready=True))


@pytest.mark.parametrize("tested", [True, False])
def test_the_step_that_waited_says_by_when_it_was_ready(tmp_path: Path, tested: bool) -> None:
    shop = Worked(tmp_path)
    try:
        shop.start()
        step = next(s for s in shop.state.steps.values() if s.waits)
        shop.until(step.address.partition("/")[2], kind="do")
        if tested:
            shop.bench.do(shop.job, cmd.Try(window=step.waits[0], ready=False))
        shop.clock.tick(HOUR_S)
        shop.bench.do(shop.job, cmd.MarkDone(address=step.address))
        seen = list(shop.bench.shop.lessons.waits.values())
        assert [(e.window, e.edge) for e in seen] == ([(step.waits[0], "opens")] * tested)
        assert all(0.0 < e.not_by_s < (e.by_s or 0.0) for e in seen)
        assert all(e.material for e in seen)
    finally:
        shop.bench.close()


def test_from_the_command_line(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    shop = Worked(tmp_path)
    desk = Desk(shop, monkeypatch)
    label = "tacky.opens=5 h at 20 °C"
    desk.says("shelf", "add", RESIN, "--kind", "slow casting epoxy", "--label", label)
    for name, after_s, tested in (
        *((name, 2.8 * HOUR_S, "ready") for name in "ABCDE"),
        ("F", 5.5 * HOUR_S, "not ready"),
    ):
        desk.says("clock", RESIN, "poured", "--name", name)
        shop.clock.tick(after_s)
        if name == "F":
            assert "5× seen here; label 5 h" in desk.says("shelf", "show", RESIN, "--accept")
            assert "5× seen here; label 5 h" in desk.says("shelf", "show", RESIN)
        assert tested in desk.says("clock", f"{name}, tacky", tested)
    desk.says("shelf", "show", RESIN, "--back")
    assert "seen here" not in desk.says("shelf", "show", RESIN)
    assert desk.refuses("shelf", "show", RESIN, "--accept")
    shop.bench.close()
