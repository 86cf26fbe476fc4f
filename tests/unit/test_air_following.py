"""Following a thermometer: kept, thinned, questioned once, silent once, and back again."""

import pytest

from benchmate.air.followed.following import SILENT_S, Following, Step, next_reading
from benchmate.air.followed.notices import notice_text
from benchmate.air.followed.parse_file import Heard
from benchmate.air.readings import Reading

START = Following(source="box.txt")


def follow(words: list[tuple[float, Heard | str]], state: Following = START) -> list[Step]:
    steps = []
    for now_s, raw in words:
        steps.append(next_reading(state, raw, now_s))
        state = steps[-1].state
    return steps


def notices(steps: list[Step]) -> list[str]:
    return [notice_text(step.notice) for step in steps if step.notice]


def test_readings_are_thinned_as_they_come() -> None:
    steps = follow([(60.0 * i, Heard(17.5 + 0.05 * i)) for i in range(20)])
    kept = [step.reading for step in steps if step.reading]
    assert [r.temperature_c for r in kept] == pytest.approx([17.5, 17.8, 18.1, 18.4])
    assert notices(steps) == []


def test_a_file_that_never_gave_anything_is_named_at_once_and_only_once() -> None:
    steps = follow([(0.0, "no such file or directory"), (20.0, "it is empty"), (9999.0, "so")])
    assert notices(steps) == ["No temperature from box.txt: no such file or directory."]


def test_a_missed_look_is_no_silence() -> None:
    steps = follow([(0.0, Heard(17.5)), (60.0, "it is empty"), (120.0, Heard(17.5))])
    assert notices(steps) == []


def test_silence_is_said_when_it_lasts_and_when_it_is_over() -> None:
    words: list[tuple[float, Heard | str]] = [(0.0, Heard(17.5))]
    words += [(60.0 * i, "it is empty") for i in range(1, 60)]
    words.append((3700.0, Heard(15.0)))
    steps = follow(words)
    said = notices(steps)
    assert len(said) == 2
    assert said[0].startswith("No temperature from box.txt for 20 min: it is empty. The last, 17.5")
    assert said[1] == "box.txt gives readings again: 15 °C."
    assert next(i for i, step in enumerate(steps) if step.notice) * 60.0 == SILENT_S
    assert steps[-1].reading == Reading(3700.0, 15.0)


def test_a_jump_is_left_out_until_it_stays() -> None:
    steps = follow([(0.0, Heard(17.5)), *[(60.0 * i, Heard(40.0)) for i in range(1, 14)]])
    assert "17.5 °C to 40 °C in 1 min" in notices(steps)[0]
    assert "unless it stays so for 10 min" in notices(steps)[0]
    assert notices(steps)[1:] == ["box.txt is believed again: 40 °C."]
    kept = [step.reading for step in steps if step.reading]
    assert [(r.t_s, r.temperature_c) for r in kept] == [(0.0, 17.5), (660.0, 40.0)]


def test_a_spike_leaves_no_trace_in_the_log() -> None:
    steps = follow([(0.0, Heard(17.5)), (60.0, Heard(40.0)), (120.0, Heard(17.6))])
    assert [bool(step.reading) for step in steps] == [True, False, False]
    assert len(notices(steps)) == 2


def test_an_impossible_value_is_never_taken_however_long_it_stays() -> None:
    steps = follow([(0.0, Heard(17.5)), *[(60.0 * i, Heard(85.0)) for i in range(1, 200)]])
    assert [step.reading for step in steps if step.reading] == [Reading(0.0, 17.5)]
    assert len(notices(steps)) == 1
    assert notices(steps)[0].endswith("It is left out.")


def test_after_a_restart_the_log_goes_on_where_it_was() -> None:
    last = Reading(1000.0, 17.5)
    state = Following(source="box.txt", kept=last, last=last)
    assert follow([(1060.0, Heard(17.6))], state)[0].reading is None
    said = notices(follow([(1000.0 + 3 * 3600, "it is empty")], state))
    assert "for 3 h" in said[0]


def test_the_same_words_as_before_are_no_news() -> None:
    steps = follow([(60.0 * i, Heard(17.5, None, 60.0 * i)) for i in range(60)])
    assert [step.reading for step in steps if step.reading] == [Reading(0.0, 17.5)]
    assert notices(steps) == []
