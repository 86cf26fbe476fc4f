"""The air from a file, live: recorded once, edges moved and said, one bench of many following."""

from __future__ import annotations

import json
import math
import os
import threading
from pathlib import Path

import pytest

from benchmate.air.log import AirLog
from benchmate.air.readings import Reading
from benchmate.bench.air.recording import in_short
from benchmate.bench.air.watch import AirWatch
from benchmate.bench.history.logbook import entries
from benchmate.bench.service import Bench
from benchmate.bench.shelf.shelf import find_material, start_clock
from benchmate.cli import opening
from benchmate.job.windows.windows import SHOP, WindowView
from benchmate.journal import JournalFull
from benchmate.plan.rates import Rule
from benchmate.settings import AirSource
from tests.unit.airing_help import MIN, Glueing, H

STEP_S = 15 * MIN
R_J_MOL_K, ACTIVATION_J_MOL = 8.314462618, 55_000.0
"""CODATA's gas constant, and the activation energy that an epoxy is given by default."""


@pytest.fixture
def shop(tmp_path: Path) -> Glueing:
    return Glueing(tmp_path, AirSource(file=str(tmp_path / "shop.txt")))


def file_of(shop: Glueing) -> Path:
    return Path(shop.settings.air.file)


def hear(shop: Glueing, watch: AirWatch, celsius: float, after_s: float = STEP_S) -> list[str]:
    """Time passes, the thermometer writes, the watch looks, the bench takes it in."""
    shop.clock.tick(after_s)
    shop.write(file_of(shop), f"{celsius}\n")
    watch.look()
    return watch.take()


def readings(bench: Bench, place: str = SHOP) -> list[float]:
    return [r.temperature_c for r in bench.shop.air_of(place).readings]


def cast(shop: Glueing) -> WindowView:
    """A casting epoxy's clock, straight from its material."""
    start_clock(shop.bench, find_material(shop.bench, "slow casting epoxy"), "poured", name="foot")
    return shop.window("cure")


def test_a_file_that_changes_moves_the_windows_and_it_is_said(shop: Glueing) -> None:
    before = cast(shop)
    watch = AirWatch(shop.bench)
    said = hear(shop, watch, 13.0, after_s=60.0)
    after = shop.window("cure")
    assert before.opens is not None
    assert after.opens is not None
    assert after.opens.at > before.opens.at
    moved = next(s for s in said if s.startswith("foot, cure, opens: new end"))
    assert ", was" in moved
    assert readings(shop.bench) == [13.0]
    (entry,) = [e for e in entries(shop.bench, "place:shop") if e.kind == "air read"]
    assert entry.text == f"air 13 °C, file {file_of(shop)}"


def test_small_shifts_of_an_end_are_not_said_at_every_reading(shop: Glueing) -> None:
    cast(shop)
    watch = AirWatch(shop.bench)
    hear(shop, watch, 18.0)
    said = [hear(shop, watch, 18.0 + 0.1 * (i % 2)) for i in range(8)]
    assert len(readings(shop.bench)) == 9
    assert sum(map(len, said)) <= 2


def test_a_window_too_cold_is_said_once(shop: Glueing) -> None:
    start_clock(shop.bench, find_material(shop.bench, "yellow wood glue"), "clamped", name="lid")
    watch = AirWatch(shop.bench)
    hear(shop, watch, 18.0, after_s=60.0)
    cold = [s for c in (8.0, 7.5, 7.0) for s in hear(shop, watch, c, 6 * MIN) if "Too cold" in s]
    assert len(cold) == 1
    assert "(lid, clamp time)" in cold[0]


def test_of_two_benches_one_follows_and_the_other_sees_it_in_the_journal(shop: Glueing) -> None:
    cast(shop)
    other = shop.open()
    first, second = AirWatch(shop.bench), AirWatch(other)
    assert second.take() == []
    hear(shop, first, 13.0, after_s=60.0)
    second.look()
    fresh = other.refresh()
    said = second.take(foreign=fresh)
    assert readings(other) == [13.0]
    assert any(s.startswith("foot, cure, opens: new end") for s in said)
    first.stop()
    hear(shop, second, 15.0)
    assert readings(other) == [13.0, 15.0]
    second.stop()
    other.close()


def test_whoever_takes_the_file_over_goes_on_after_the_last_reading(shop: Glueing) -> None:
    first = AirWatch(shop.bench)
    hear(shop, first, 18.0)
    first.stop()
    second = AirWatch(shop.bench)
    hear(shop, second, 18.1, after_s=60.0)
    assert readings(shop.bench) == [18.0]
    second.stop()


def test_a_typed_reading_is_answered_by_the_files_next_one(shop: Glueing) -> None:
    watch = AirWatch(shop.bench)
    hear(shop, watch, 18.0)
    shop.clock.tick(60.0)
    shop.air(12.0)
    assert watch.take() == []
    hear(shop, watch, 18.0, after_s=60.0)
    assert readings(shop.bench) == [18.0, 12.0, 18.0]


def test_silence_and_jumps_stand_in_the_logbook_and_are_said_once(shop: Glueing) -> None:
    watch = AirWatch(shop.bench)
    hear(shop, watch, 18.0)
    said = hear(shop, watch, 44.0, after_s=60.0)
    assert "left out" in said[0]
    file_of(shop).unlink()
    for _ in range(60):
        shop.clock.tick(60.0)
        watch.look()
        said += watch.take()
    assert len(said) == 2
    assert said[1].startswith(f"No temperature from {file_of(shop)} for")
    kept = [e.text for e in entries(shop.bench, "place:shop") if e.kind == "air silent"]
    assert [k.removeprefix("air: ") for k in kept] == said
    assert readings(shop.bench) == [18.0]


def test_without_a_file_in_the_settings_nothing_is_followed(tmp_path: Path) -> None:
    shop = Glueing(tmp_path)
    watch = AirWatch(shop.bench)
    watch.start()
    watch.look()
    assert watch.take() == []
    watch.stop()
    assert not (tmp_path / "data" / "air.lock").exists()


def test_the_named_field_goes_to_the_named_place(tmp_path: Path) -> None:
    file = tmp_path / "air.json"
    source = AirSource(
        file=str(file), format="json", field="box.temp", humidity_field="box.rh", place="box"
    )
    shop = Glueing(tmp_path, source)
    shop.write(file, json.dumps({"box": {"temp": 26.5, "rh": 41}}))
    watch = AirWatch(shop.bench)
    watch.look()
    watch.take()
    assert shop.bench.shop.air_of("box").readings[0][1:3] == (26.5, 41.0)
    assert readings(shop.bench) == []


def test_a_full_disk_is_said_and_the_watch_goes_on(
    shop: Glueing, monkeypatch: pytest.MonkeyPatch
) -> None:
    watch = AirWatch(shop.bench)
    with monkeypatch.context() as broken:

        def full(*_: object) -> None:
            raise JournalFull("The disk is full.")

        broken.setattr(shop.bench, "settle", full)
        assert hear(shop, watch, 18.0) == ["The air was not recorded: The disk is full."]
        assert hear(shop, watch, 12.0) == []
    hear(shop, watch, 15.0)
    assert readings(shop.bench) == [15.0]


def test_the_thread_only_looks_and_the_owner_records(tmp_path: Path) -> None:
    file = tmp_path / "shop.txt"
    shop = Glueing(tmp_path, AirSource(file=str(file)))
    shop.write(file, "17.5\n")
    watch = AirWatch(shop.bench, every_s=0.01)
    seen = threading.Event()
    look = watch.look

    def looked() -> None:
        look()
        seen.set()

    watch.look = looked  # type: ignore[method-assign]
    watch.start()
    assert seen.wait(10.0)
    assert readings(shop.bench) == []
    watch.take()
    assert readings(shop.bench) == [17.5]
    watch.stop()
    assert not [t for t in threading.enumerate() if t.name == "air"]


# A window along a log with a cold night -----------------------------------------------------------


def night(hour: float) -> float:
    """An unheated shop from 16:00 on: 17 °C, down to 6 °C towards morning, and up again."""
    return round(11.5 + 5.5 * math.cos(2 * math.pi * hour / 24.0), 1)


def fine_sum(
    points: list[tuple[float, float]], t0: float, amount_s: float, lowest_c: float
) -> float:
    """Where label seconds add up to an amount: Arrhenius second by second, written here anew, in
    air below the lowest that the time is for."""
    label_k, done, t, i = lowest_c + 273.15, 0.0, t0, 0
    while done < amount_s:
        while i + 1 < len(points) and points[i + 1][0] <= t:
            i += 1
        kelvin = points[i][1] + 273.15
        done += math.exp(-ACTIVATION_J_MOL / R_J_MOL_K * (1 / kelvin - 1 / label_k))
        t += 1.0
    return t


def overnight(shop: Glueing, *, restarts: int = 0) -> WindowView:
    """A cast at four in the afternoon, and a thermometer's file that changes until it has cured."""
    shop.write(file_of(shop), f"{night(0.0)}\n")
    watch = AirWatch(shop.bench)
    watch.look()
    watch.take()
    cast(shop)
    for i in range(1, 4 * 80):
        hear(shop, watch, night(i / 4))
        if restarts and i % (4 * 80 // (restarts + 1)) == 0:
            watch.stop()
            watch = AirWatch(shop.again())
    watch.stop()
    return shop.window("cure")


def test_the_end_under_a_cold_night_is_that_of_a_fine_integration(shop: Glueing) -> None:
    view = overnight(shop)
    edge, window = view.opens, view.window
    assert edge is not None
    assert window.opens_s is not None
    points = [(r.t_s, r.temperature_c) for r in shop.bench.shop.air_of(SHOP).readings]
    assert len(points) == 4 * 80
    assert max(c for _, c in points) < 18.0
    want = fine_sum(points, view.anchor, window.opens_s, 18.0)
    assert edge.middle < points[-1][0]
    assert edge.middle - view.anchor == pytest.approx(want - view.anchor, rel=1e-3)
    assert edge.middle - view.anchor > 1.3 * window.opens_s


def test_a_restart_in_the_middle_changes_nothing(tmp_path: Path) -> None:
    views = []
    for name, restarts in (("through", 0), ("restarted", 7)):
        home = tmp_path / name
        home.mkdir()
        shop = Glueing(home, AirSource(file=str(home / "shop.txt")))
        views.append(overnight(shop, restarts=restarts))
        views.append(_seen_anew(shop))
    edges = [[(e.at, e.earliest, e.latest) for e in v.edges.values()] for v in views]
    for other in edges[1:]:
        assert other == [pytest.approx(e, abs=1e-3) for e in edges[0]]
    assert len({(v.state, v.knows_air) for v in views}) == 1


def _seen_anew(shop: Glueing) -> WindowView:
    shop.again()
    return shop.window("cure")


def test_splitting_what_is_held_changes_no_end() -> None:
    rule = Rule(family="arrhenius", ref_c=21)
    log = AirLog([Reading(0.0, 17.0), Reading(25 * MIN, 12.0)])
    split = AirLog([Reading(0.0, 17.0), Reading(9 * MIN, 17.0), Reading(25 * MIN, 12.0)])
    a, b = log.reaches(rule, 0.0, H), split.reaches(rule, 0.0, H)
    assert b.t == pytest.approx(a.t)


def test_a_reading_entered_late_moves_ends_from_now_on_and_the_logbook_keeps_the_old(
    shop: Glueing,
) -> None:
    cast(shop)
    shop.air(18.0)
    shop.clock.tick(4 * H)
    shop.air(18.0)
    before = [e.text for e in entries(shop.bench, None)]
    said = shop.air(6.0, ago_s=3 * H)
    assert any("foot, cure, opens: new end" in s for s in said)
    after = [e.text for e in entries(shop.bench, None)]
    assert after[: len(before)] == before
    assert len(after) == len(before) + 1


# mind, and what a screen shows --------------------------------------------------------------------


def test_mind_follows_the_file_without_a_screen(
    shop: Glueing, monkeypatch: pytest.MonkeyPatch
) -> None:
    file = file_of(shop)
    (shop.home / "settings.toml").write_text(f'[air]\nfile = "{file}"\n')
    cast(shop)
    shop.bench.close()
    shop.write(file, "13.0\n")
    monkeypatch.setattr(opening, "make_clock", lambda: shop.clock)
    done = shop.run("remind", "run", "--for", "1.5")
    assert done.exit_code == 0, done.output
    assert "foot, cure, opens: new end" in done.output
    shop.bench = shop.open()
    assert readings(shop.bench) == [13.0]


def test_a_screen_is_told_in_short() -> None:
    assert in_short([]) == ""
    assert in_short(["One."]) == "One."
    assert in_short(["1.", "2.", "3.", "4.", "5."]) == ("1. 2. 3 more: see `benchmate air`.")


def test_a_pipe_does_not_hold_anybody_up(shop: Glueing) -> None:
    os.mkfifo(file_of(shop))
    watch = AirWatch(shop.bench)
    watch.look()
    (said,) = watch.take()
    assert said.endswith("it is no plain file.")
