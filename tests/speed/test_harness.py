"""The harness itself: what it finds, compares and shows."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.speed import harness
from tests.speed.harness import Measure, against, alternately, names, run, save, table


def test_acts_are_timed_in_turn_each_round_beginning_with_another() -> None:
    done: list[str] = []
    times = alternately([lambda: done.append("a"), lambda: done.append("b")], rounds=3)
    assert done == ["a", "b", "b", "a", "a", "b"]
    assert [len(each) for each in times] == [3, 3]


@pytest.mark.parametrize(
    ("value", "target", "ok"), [(1.4, 1.5, True), (1.6, 1.5, False), (9.0, None, None)]
)
def test_a_target_is_met_or_not_by_the_ratio(
    value: float, target: float | None, ok: bool | None
) -> None:
    one = against("x", value, 1.0, "ms", "bare", target_ratio=target)
    assert (one.ratio, one.ok, one.against) == (value, ok, "bare 1 ms")


def test_the_table_is_aligned_and_shouts_only_what_was_missed() -> None:
    shown = table(
        [
            Measure("short", 1.0, "ms", "bare 1 ms", 1.0, 1.5, True),
            Measure("a longer name", 12345.678, "ms", "bare", 2.0, 1.5, False),
            Measure("plain", 3, "", "none"),
        ]
    ).splitlines()
    assert shown[1].endswith("met")
    assert shown[2].endswith("NOT MET")
    assert shown[3].endswith("none")
    assert shown[0].index("against") == shown[1].index("bare") == shown[2].index("bare")


def test_everything_that_measures_is_found_and_one_failure_hides_no_other(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    assert {"commit", "reopen"} <= set(names())

    class Good:
        @staticmethod
        def measure() -> list[Measure]:
            return [Measure("x", 1.0, "ms", "nothing")]

    def load(name: str) -> type[Good]:
        if name.endswith("bench_bad"):
            raise RuntimeError("no disk")
        return Good

    monkeypatch.setattr(harness, "import_module", load)
    measures, failed = run(["bad", "good"])
    assert [one.what for one in measures] == ["x"]
    assert failed == ["bad: RuntimeError: no disk"]
    save(tmp_path / "out.json", measures, failed)
    record = json.loads((tmp_path / "out.json").read_text())
    assert (record["measures"][0]["what"], record["failed"]) == ("x", failed)
