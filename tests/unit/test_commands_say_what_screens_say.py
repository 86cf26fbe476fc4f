"""Commands beside the screens: the same questions and words, and the truth about the record."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from whenever import SYSTEM_TZ, Time

from benchmate.air.log import AirLog
from benchmate.air.readings import Reading
from benchmate.air.slips import doubt_of
from benchmate.cli import opening
from benchmate.cli.exits import Exit
from benchmate.landing.adjusting.matching import NotReachable, adjustment
from benchmate.localtime import local, parse_when
from benchmate.quantities import QuantityError
from benchmate.quantities.doubts import celsius_meant, fraction_meant
from benchmate.reckon.asking.answering import answer
from tests.unit.landing_help import GAIN_G, bookend, layer, poured
from tests.unit.test_commands import Shop

NOON = 1_795_683_600.0


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Shop:
    made = Shop(tmp_path, monkeypatch)
    made.ok("start", "matched-bookends")
    return made


def clock_text(wall_s: float) -> str:
    when = local(wall_s)
    return f"{when.hour:02d}:{when.minute:02d}"


class TestWhen:
    def test_a_bare_time_a_little_ahead_is_asked_about_never_taken_as_yesterdays(self) -> None:
        with pytest.raises(QuantityError, match="still to come today; write yesterday"):
            parse_when(clock_text(NOON + 240), NOON)

    def test_last_nights_is_still_meant_after_midnight(self) -> None:
        now = local(NOON).date().add(days=1).at(Time(0, 10)).assume_tz(SYSTEM_TZ)
        typed = parse_when("23:50", float(now.timestamp()))
        assert float(now.timestamp()) - typed == pytest.approx(20 * 60)

    def test_said_in_full_it_is_taken(self) -> None:
        text = clock_text(NOON + 240)
        assert NOON - parse_when(f"yesterday {text}", NOON) == pytest.approx(86400 - 240, abs=60)

    def test_and_the_command_records_nothing(self, shop: Shop) -> None:
        ahead = clock_text(shop.clock.now().wall_s + 240)
        assert "still to come today" in shop.refused("note", "clamps off", "--at", ahead)


class TestWeighing:
    def test_of_four_that_weigh_at_once_one_records(self, shop: Shop) -> None:
        asking = [shop.run("weigh", "293 g", "A/block/weigh-blanks#1") for _ in range(4)]
        assert [r.exit_code for r in asking] == [Exit.OK, *[Exit.REFUSED] * 3]
        assert "already weighed: 293 g" in asking[1].stderr
        assert shop.ok("logbook", "list").count("weighed") == 1
        shop.ok("weigh", "294 g", "A/block/weigh-blanks#1", "--again")

    def test_benches_that_decided_at_the_same_time_record_one(
        self, shop: Shop, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        from benchmate.bench import Bench
        from benchmate.job.deciding import commands as cmd
        from benchmate.refusal import AlreadySo
        from benchmate.settings import Settings, find_folders

        folders = find_folders(shop.home)
        benches = [Bench.open(folders, Settings(), clock=opening.make_clock()) for _ in range(4)]
        (job,) = benches[0].shop.live
        address = f"{job.job}/A/block/weigh-blanks#1"
        outcomes = []
        for bench in benches:
            try:
                bench.do(job.job, cmd.Weigh(address=address, net_g=293.0))
                outcomes.append("recorded")
            except AlreadySo:
                outcomes.append("refused")
            bench.close()
        assert outcomes == ["recorded", "refused", "refused", "refused"]


def test_a_check_outside_its_limits_is_said_as_the_screen_says_it(shop: Shop) -> None:
    for part in ("A/block", "A/cover", "B/block", "B/cover"):
        shop.ok("weigh", "293 g" if "block" in part else "39.6 g", f"{part}/weigh-blanks#1")
    shop.ok("done", "A/block/void")
    wall = ("done", "A/block/void", "--check", "wall=3 mm")
    assert "at least 4 mm" in shop.refused(*wall)
    said = shop.ok(*wall, "--keep").splitlines()[0]
    assert "at least" in said
    assert "3 mm" in said


def test_a_start_names_the_new_jobs_own_first_step(shop: Shop) -> None:
    said = shop.ok("start", "plane-setting-hammer").splitlines()[-1]
    assert said.startswith("Next: ")
    assert "ookend" not in said


def test_next_as_data_holds_a_checks_name_unit_and_limits(shop: Shop) -> None:
    for part in ("A/block", "A/cover", "B/block", "B/cover"):
        shop.ok("weigh", "293 g" if "block" in part else "39.6 g", f"{part}/weigh-blanks#1")
    shop.ok("done", "A/block/void")
    ready = json.loads(shop.ok("next", "--json"))["ready"]
    wall = next(a["check"] for a in ready if a["check"] and a["check"]["name"] == "wall")
    assert (wall["unit"], wall["at_most"]) == ("mm", None)
    assert wall["at_least"] > 0
    assert all(a["check"] is None for a in ready if a["kind"] != "check")


def test_what_was_last_beside_the_jobs_is_not_passed_over_by_a_takeback(shop: Shop) -> None:
    shop.ok("weigh", "293 g", "A/block/weigh-blanks#1")
    shop.clock.tick(1.0)
    shop.ok("air", "17 C")
    said = shop.refused("undo")
    assert "17 °C" in said
    assert "--job matched-bookends-1" in said
    assert "weighed" in shop.ok("undo", "--job", "matched-bookends-1")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no /dev/full here")
def test_a_note_that_is_recorded_is_never_said_not_to_be(shop: Shop) -> None:
    words = [sys.executable, "-m", "benchmate", "--home", str(shop.home)]
    with Path("/dev/full").open("w") as full:
        done = subprocess.run(
            [*words, "note", "felt is cut"], stdout=full, stderr=subprocess.PIPE, text=True
        )
    assert done.returncode == Exit.UNSAID
    assert "What was recorded stands" in done.stderr
    assert "othing was recorded" not in done.stderr
    assert "felt is cut" in shop.ok("logbook", "list")


@pytest.mark.parametrize(
    "words",
    [
        ("air", "20", "--place", "\udcff"),
        ("note", "z", "--job", "\udcff"),
        ("logbook", "list", "--stream", "\udcff"),
    ],
    ids=["place", "job", "stream"],
)
def test_bytes_that_are_no_text_are_refused_in_a_sentence(
    shop: Shop, words: tuple[str, ...]
) -> None:
    assert "is no character" in shop.refused(*words)


def test_a_pipe_that_is_gone_and_a_closed_output_end_without_a_word(shop: Shop) -> None:
    environment = {**os.environ, "BENCHMATE_HOME": str(shop.home)}
    read, write = os.pipe()
    os.close(read)
    words = [sys.executable, "-m", "benchmate", "next"]
    done = subprocess.run(words, stdout=write, stderr=subprocess.PIPE, env=environment)
    os.close(write)
    assert done.stderr == b""
    closed = ["sh", "-c", f"{sys.executable} -m benchmate next >&-"]
    done = subprocess.run(closed, stderr=subprocess.PIPE, env=environment)
    assert (done.returncode, done.stderr) == (0, b"")


class TestSlips:
    """One pure function for screens, commands, files and reckoners."""

    @pytest.mark.parametrize(
        ("pct", "meant"), [(0.62, 62.0), (1.0, 100.0), (1.5, None), (62.0, None), (None, None)]
    )
    def test_a_fraction_for_per_cent(self, pct: float | None, meant: float | None) -> None:
        assert fraction_meant(pct) == meant

    @pytest.mark.parametrize(
        ("celsius", "meant"),
        [
            ((17.5 - 32) / 1.8, 17.5),
            ((21.0 - 32) / 1.8, 21.0),
            (-5.0, None),
            (17.5, None),
            ((50.0 - 32) / 1.8, None),
        ],
        ids=["17.5 °F", "21 °F", "-5 °C", "17.5 °C", "50 °F"],
    )
    def test_fahrenheit_for_celsius(self, celsius: float, meant: float | None) -> None:
        assert celsius_meant(celsius) == meant

    def test_by_command_both_are_asked_about_with_what_was_meant(self, shop: Shop) -> None:
        said = shop.refused("air", "17 C", "--rh", "0.62")
        assert "62 %" in said
        assert "--rh 62" in said
        said = shop.refused("air", "17.5 F")
        assert "17.5" in said
        assert "air 17.5C" in said.replace("'", "")

    def test_frost_that_the_log_bears_out_is_not_asked_about(self) -> None:
        cold = Reading(3600.0, (20.4 - 32) / 1.8)
        assert doubt_of(AirLog(), cold) is not None
        assert doubt_of(AirLog([Reading(0.0, -7.0)]), cold) is None

    def test_a_files_fraction_is_left_out_with_the_reason(self) -> None:
        from benchmate.air.readings import absurd

        assert "as a fraction it is 62 %" in (absurd(None, Reading(0.0, 18.0, 0.62)) or "")

    def test_a_reckoner_notes_both(self) -> None:
        found = answer("dew-point", {"temperature_c": "17.5 F", "humidity_pct": "0.62 %"})
        assert any("62 %" in note for note in found.notes)
        assert any("17.5 °C meant?" in note for note in found.notes)


def test_a_twin_hundreds_of_grams_off_is_a_question_and_no_offer() -> None:
    layers = [layer(n) for n in range(1, 5)]
    twins = [bookend(p, *layers, target_g=951.6, tolerance_g=9.5) for p in "AB"]
    offer = adjustment([poured(twins[0], GAIN_G + 300.0), twins[1]], 1.0, match_g=5.0)
    assert isinstance(offer, NotReachable)
    assert not any(p.changes for p in offer.pieces)
    assert offer.sentence.endswith("until then.")
    assert "Is one of its weights wrong?" in offer.sentence
