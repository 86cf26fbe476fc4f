"""The commands: what they print, what they refuse, and with which exit code."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from benchmate.cli import opening
from benchmate.cli.exits import Exit
from benchmate.cli.group import COMMANDS, cli
from benchmate.clock import SetClock
from benchmate.journal import JournalFull
from benchmate.moment import Moment

START = Moment(1_795_683_600_000_000_000, "boot-of-tests", 9_000_000_000_000)


class Shop:
    """Commands run one by one against one home, with a clock that is set."""

    def __init__(self, home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        self.home, self.clock = home, SetClock(START)
        monkeypatch.setattr(opening, "make_clock", lambda: self.clock)

    def run(self, *words: str) -> Result:
        return CliRunner().invoke(cli, ["--home", str(self.home), *words])

    def ok(self, *words: str) -> str:
        result = self.run(*words)
        assert result.exit_code == 0, result.output
        return result.stdout

    def refused(self, *words: str) -> str:
        result = self.run(*words)
        assert result.exit_code == Exit.REFUSED, (words, result.output)
        assert result.stdout == ""
        assert "Traceback" not in result.output
        return result.stderr


@pytest.fixture
def shop(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Shop:
    return Shop(tmp_path, monkeypatch)


@pytest.fixture
def pouring(shop: Shop) -> Shop:
    """Bookends up to the first layer, poured and not weighed."""
    shop.ok("start", "matched-bookends")
    for part in ("A/block", "A/cover", "B/block", "B/cover"):
        shop.ok("weigh", "293 g" if "block" in part else "39.6 g", f"{part}/weigh-blanks#1")
    for piece in "AB":
        shop.ok("done", f"{piece}/block/void")
        shop.ok("done", f"{piece}/block/void", "--check", "wall=6.5 mm")
        shop.ok("done", f"{piece}/block/void", "--check", "depth=47 mm")
        shop.ok("done", f"{piece}/block/tape")
    shop.ok("done", "mix#1")
    return shop


def test_next_with_no_job_says_so_and_is_well(shop: Shop) -> None:
    assert "No job is open" in shop.ok("next")
    assert json.loads(shop.ok("next", "--json")) is None


def test_reading_commands_make_no_journal(shop: Shop) -> None:
    shop.ok("next")
    assert not (shop.home / "data").exists()


def test_next_names_act_amounts_and_window(pouring: Shop) -> None:
    said = pouring.ok("next")
    assert said.count("\n") == 1
    assert "Bookend A: layer 1 of 4" in said
    assert "115.9 g shot" in said
    assert "(cup 1, pot life)" in said


def test_next_as_data(pouring: Shop) -> None:
    data = json.loads(pouring.ok("next", "--json"))
    assert data["next"]["address"] == "matched-bookends-1/A/block/pour#1"
    assert data["next"]["spoils"] is True
    (window,) = data["windows"]
    assert window["closes"] == pytest.approx(START.wall_s + 40 * 60, abs=1.0) or window["closes"]


def test_a_weighing_hears_its_verdict(pouring: Shop) -> None:
    said = pouring.ok("weigh", "119.2 g", "A/block/pour#1")
    assert "8.6 g light" in said
    assert "Next:" in said


def test_running_readings_say_what_is_to_go(pouring: Shop) -> None:
    pouring.ok("weigh", "600 g", "A/block/pour#1", "--running")
    said = pouring.ok("weigh", "667 g", "A/block/pour#1", "--adding", "shot")
    assert "67 g in; 60.8 g to go; 67 g shot" in said


def test_done_ten_minutes_ago_starts_the_clock_then(shop: Shop) -> None:
    shop.ok("clock", "yellow wood glue", "clamped", "--at", "10 min ago")
    (window,) = json.loads(shop.ok("next", "--json"))["windows"]
    assert window["opens"] == pytest.approx(START.wall_s + 35 * 60, abs=1.0)


def test_taking_back_names_what_rests_on_it(pouring: Shop) -> None:
    pouring.ok("done", "A/block/pour#1")
    state = json.loads(pouring.ok("logbook", "list", "--job", "matched-bookends-1", "--json"))
    mix = next(e for e in state if e["kind"] == "done" and "mix" in e["text"])
    said = pouring.refused("undo", "--entry", str(mix["event"]))
    assert "rests poured bookend A, layer 1 (A/block/pour#1). Take it back too?" in said
    assert "--along" in said
    pouring.ok("undo", "--entry", str(mix["event"]), "--along")
    assert "mixed cup 1 (all/all/mix#1)" in pouring.ok("done", "mix#1")


def test_a_corrected_weight_keeps_the_old_one_in_the_logbook(pouring: Shop) -> None:
    pouring.ok("weigh", "119.2 g", "A/block/pour#1")
    listed = json.loads(pouring.ok("logbook", "list", "--json"))
    weighed = [e for e in listed if e["kind"] == "weighed"][-1]
    said = pouring.ok(
        "weigh", "127.8", "--correct", str(weighed["event"]), "--reason", "read the wrong line"
    )
    assert "Corrected to 127.8 g;" in said
    book = pouring.ok("logbook", "list", "--job", "matched-bookends-1")
    assert "119.2 g" in book
    assert "corrected “weighed bookend A, layer 1: 119.2 g (A/block/pour#1)” to 127.8 g" in book
    assert "all on plan" in pouring.ok("flags")
    said = pouring.ok("undo")
    assert (
        "Undone: corrected to 127.8 g: “weighed bookend A, layer 1: 119.2 g” (A/block/pour#1)."
    ) in said


def test_what_departs_is_listed_until_it_is_seen(pouring: Shop) -> None:
    pouring.ok("weigh", "119.2 g", "A/block/pour#1")
    assert "flag  matched-bookends-1/A/block/pour#1  " in pouring.ok("flags")
    pouring.ok("flags", "--ok")
    assert "OK" in pouring.ok("flags")


def test_pausing_and_resuming(pouring: Shop) -> None:
    pouring.ok("job", "pause", "holiday")
    assert "paused" in pouring.ok("job")
    pouring.refused("job", "pause")
    pouring.ok("job", "resume")
    assert "Bookend A" in pouring.ok("next")


def test_stopping_closes_a_job_and_keeps_its_logbook(pouring: Shop) -> None:
    pouring.ok("job", "stop", "the wood split")
    assert "No job is open" in pouring.ok("job")
    assert "stopped: the wood split" in pouring.ok("logbook", "list", "--job", "matched-bookends-1")


def test_verify_backup_restore_and_export(pouring: Shop, tmp_path: Path) -> None:
    assert "as they were recorded" in pouring.ok("logbook", "verify")
    copy = tmp_path / "copy.db"
    pouring.ok("logbook", "backup", str(copy))
    lines = pouring.ok("logbook", "export").splitlines()
    assert all(json.loads(line) for line in lines)
    pouring.ok("done", "A/block/pour#1")
    pouring.ok("logbook", "restore", str(copy))
    assert len(pouring.ok("logbook", "export").splitlines()) == len(lines)


def test_a_missed_window_is_asked_about_and_answered(pouring: Shop) -> None:
    pouring.clock.tick(3 * 3600)
    assert "Missed: cup 1, pot life" in pouring.ok("next")
    assert "What happened" in pouring.refused("done", "A/block/pour#1")
    pouring.ok("missed", "mix#1:pot life", "ruined")
    assert "mixed cup 1 (all/all/mix#1)" in pouring.ok("done", "mix#1")


BAD = [
    (("weigh", "abc", "A/block/pour#1"), "abc"),
    (("weigh", "OL", "A/block/pour#1"), "OL"),
    (("weigh", "12 mm", "A/block/pour#1"), "mm"),
    (("weigh", "x" * 5000, "A/block/pour#1"), "x"),
    (("weigh", "129 g", "C/block/pour#1"), "Nearest"),
    (("done", "A/block/cap#1"), "first ("),
    (("done", "nothing#1"), "no step"),
    (("done", "A/block/pour#1", "--at", "tomorrow"), "as a time"),
    (("skip", "A/block/pour#1", " "), "reason"),
    (("job", "scrap", "Z", "x"), "no piece"),
    (("missed", "mix#1:pot life", "ruined"), "not missed yet"),
    (("done", "A/block/void", "--check", "wall=thick"), "thick"),
    (("done", "A/block/void", "--check", "colour=1"), "no check"),
    (("weigh", "12 g", "--correct", "1"), "no weighing"),
    (("undo", "--entry", "999"), "999"),
    (("start", "matched-bokends"), "matched-bookends"),
    (("start",), "Name a procedure"),
    (("clock", "glue stick", "spread"), "no material"),
    (("clock", "hard oil", "mixed"), "coated"),
    (("air", "17.5 kg"), "kg"),
    (("air", "300 C"), "300"),
    (("air", "17C", "--rh", "140"), "140"),
    (("note", ""), "empty"),
    (("done", "A/block/pour#1", "--job", "nope"), "no job"),
]


@pytest.mark.parametrize(("words", "said"), BAD, ids=[" ".join(w)[:40] for w, _ in BAD])
def test_bad_input_is_one_sentence_and_records_nothing(
    words: tuple[str, ...], said: str, pouring: Shop
) -> None:
    before = pouring.ok("logbook", "export")
    text = pouring.refused(*words)
    assert said in text
    assert len(text) < 400
    assert pouring.ok("logbook", "export") == before


def test_a_full_disk_is_a_sentence_and_an_exit_code(
    pouring: Shop, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object, **__: object) -> None:
        raise JournalFull("The disk is full: nothing was recorded. Make room and press again.")

    monkeypatch.setattr("benchmate.journal.store.appending.append", full)
    result = pouring.run("done", "A/block/pour#1")
    assert result.exit_code == Exit.UNWRITABLE
    assert "disk is full" in result.stderr


def test_a_damaged_journal_is_named_and_left_alone(pouring: Shop) -> None:
    path = pouring.home / "data" / "journal.db"
    for extra in path.parent.glob("journal.db-*"):
        extra.unlink()
    data = bytearray(path.read_bytes())
    data[100:1100] = bytes(1000)
    path.write_bytes(bytes(data))
    result = pouring.run("job")
    assert result.exit_code == Exit.DAMAGED
    assert path.read_bytes() == bytes(data)


def test_a_single_clock_does_not_stand_in_the_way_of_the_only_job(pouring: Shop) -> None:
    pouring.ok("clock", "yellow wood glue", "clamped")
    assert "pour" in pouring.ok("done", "A/block/pour#1")
    assert "weigh" in pouring.ok("weigh", "128 g", "A/block/pour#1", "--keep")
    assert "Which job?" in pouring.refused("undo"), "either may be meant"
    assert "clamped" in pouring.ok("undo", "--job", "clocks-1")


def test_an_address_picks_the_job_it_fits(pouring: Shop) -> None:
    pouring.ok("start", "turned-lamp-base")
    assert "Recorded" in pouring.ok("done", "A/block/pour#1")
    assert "Which job?" in pouring.refused("weigh", "128 g")


def test_no_name_or_note_steers_the_terminal(shop: Shop) -> None:
    shop.ok("start", "--free", "[/x] \x1b[31mred\x1b]0;title\x07")
    shop.ok("note", "\x9b31m \u202egnp")
    told = shop.ok("job") + shop.ok("logbook") + shop.ok("next")
    assert "[/x] ·[31mred·]0;title·" in told
    assert not set(told) & {"\x1b", "\x07", "\x9b", "\u202e"}


def test_a_starter_needs_a_name_and_a_material_a_known_family(shop: Shop) -> None:
    assert "name" in shop.refused("procedure", "new", "")
    said = shop.refused("shelf", "add", "my glue", "--kind", "yellow wood glu")
    assert said == "There is no kind “yellow wood glu”. Did you mean yellow wood glue?\n"


@pytest.mark.parametrize("step", ["pour", "pour#3", "A/block/pour#3"])
def test_a_wish_names_a_step_of_the_file(step: str, pouring: Shop) -> None:
    assert "no step “poor”" in pouring.refused("note", "tap longer", "--next-time", "poor")
    pouring.ok("note", "tap longer", "--next-time", step)
    assert "next time, at pour: tap longer" in pouring.ok("logbook")


def test_a_mistyped_command_is_answered_with_the_nearest(shop: Shop) -> None:
    result = shop.run("wiegh")
    assert result.exit_code == Exit.REFUSED
    assert "Did you mean `weigh`?" in result.stderr


@pytest.mark.parametrize("name", sorted(COMMANDS))
def test_every_command_has_help(name: str, shop: Shop) -> None:
    said = shop.ok(name, "--help")
    assert "Usage:" in said
    assert len(said.splitlines()) > 3
