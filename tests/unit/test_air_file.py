"""A thermometer's file on a real disk: gently read, and whatever it does is a sentence."""

import json
import os
from pathlib import Path

import pytest

from benchmate.air.followed.file import LARGEST_JSON, STALE_S, AirFile, air_file
from benchmate.air.followed.notices import notice_text
from benchmate.air.followed.parse_file import Form
from benchmate.air.log import AirLog
from benchmate.air.readings import Reading
from benchmate.plan.rates import Rule
from benchmate.settings import AirSource


def write(path: Path, text: str, wall_s: float = 1000.0) -> Path:
    path.write_text(text, encoding="utf-8")
    os.utime(path, (wall_s, wall_s))
    return path


def test_a_file_that_changes_moves_the_windows_end(tmp_path: Path) -> None:
    path = write(tmp_path / "box.txt", "20\n")
    file, log, epoxy = AirFile(path), AirLog(), Rule(family="arrhenius", ref_c=20)
    ends = []
    for now_s, text in ((0.0, "20\n"), (3600.0, "12\n"), (7200.0, "12.1\n"), (9000.0, "24\n")):
        write(path, text, wall_s=1000.0 + now_s)
        step = file.look(now_s, 1000.0 + now_s)
        if step.reading:
            log = log.plus(step.reading)
        ends.append(log.reaches(epoxy, 0.0, 24 * 3600.0).t)
    assert ends[0] == pytest.approx(24 * 3600)
    assert ends[1] > ends[0]
    assert ends[3] < ends[2]
    assert [r.temperature_c for r in log.readings] == [20, 12, 12.1, 24]


def test_a_file_that_nobody_writes_any_more_falls_silent(tmp_path: Path) -> None:
    file = AirFile(write(tmp_path / "box.txt", "20"))
    assert file.look(60.0, 1060.0).reading == Reading(0.0, 20.0)
    assert file.look(STALE_S, 1000.0 + STALE_S).notice is None
    notice = file.look(STALE_S + 1, 1001.0 + STALE_S).notice
    assert notice is not None
    assert "for 30 min: nobody has written it lately" in notice_text(notice)


def test_a_kernels_file_keeps_no_date_and_is_read_all_the_same(tmp_path: Path) -> None:
    path = write(tmp_path / "temp1_input", "17500\n")
    step = AirFile(path, Form("millidegrees")).look(0.0, 1000.0 + 99 * STALE_S)
    assert step.reading == Reading(0.0, 17.5)


def test_of_a_large_csv_only_the_ends_are_read(tmp_path: Path) -> None:
    rows = "".join(f"{i},15.{i % 10},6{i % 10}\n" for i in range(60_000))
    path = write(tmp_path / "log.csv", f"i,temp,rh\n{rows}60000,17.5,61\n")
    assert AirFile(path, Form("csv")).look(0.0, 1000.0).reading == Reading(0.0, 17.5, 61.0)


@pytest.mark.parametrize(
    ("make", "form", "says"),
    [
        pytest.param(lambda p: None, "number", "no such file", id="not there"),
        pytest.param(lambda p: p.mkdir(), "number", "no plain file", id="a folder"),
        pytest.param(lambda p: os.mkfifo(p), "number", "no plain file", id="a pipe"),
        pytest.param(lambda p: write(p, ""), "number", "it is empty", id="empty"),
        pytest.param(lambda p: p.write_bytes(b"\xff\xfe1\x007"), "number", "no text", id="bytes"),
        pytest.param(
            lambda p: write(p, json.dumps({"t": 17, "x": "y" * LARGEST_JSON})),
            "json",
            "larger than 64 KiB",
            id="too large",
        ),
    ],
)
def test_whatever_is_wrong_with_the_file_is_one_sentence(
    tmp_path: Path, make: object, form: str, says: str
) -> None:
    path = tmp_path / "air"
    make(path)  # type: ignore[operator]
    step = AirFile(path, Form(form)).look(0.0, 1000.0)  # type: ignore[arg-type]
    assert step.reading is None
    assert step.notice is not None
    assert says in notice_text(step.notice)
    assert notice_text(step.notice).count(". ") == 0


def test_a_link_into_the_kernels_folder_is_followed(tmp_path: Path) -> None:
    write(tmp_path / "real", "18.5")
    (tmp_path / "link").symlink_to(tmp_path / "real")
    assert AirFile(tmp_path / "link").look(0.0, 1000.0).reading == Reading(0.0, 18.5)


def test_the_settings_say_which_file(tmp_path: Path) -> None:
    path = write(tmp_path / "a.json", '{"in": {"c": 16.5, "h": 58}}')
    source = AirSource(file=str(path), format="json", field="in.c", humidity_field="in.h")
    file = air_file(source)
    assert file is not None
    assert file.look(5.0, 1000.0).reading == Reading(5.0, 16.5, 58.0)
    assert air_file(AirSource()) is None
    going_on = air_file(source, last=Reading(0.0, 16.5, 58.0))
    assert going_on is not None
    assert going_on.look(5.0, 1000.0).reading is None
