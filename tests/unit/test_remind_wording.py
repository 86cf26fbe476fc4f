"""What reminders say, on the screen and aloud."""

from __future__ import annotations

import pytest

from benchmate.remind.edges import EdgeAhead, Stage
from benchmate.remind.wording import speech_of, spoken_duration, text_of
from tests.remind_help import MIN, NOON_S, edge

CASES = [
    pytest.param(
        edge(action="Pour what is left."),
        Stage.CLOSING,
        32,
        "Bookend B, mix 2, pot life: 8 min left, or it spoils the mix. Pour what is left.",
        "Bookend B, mix 2, pot life: eight minutes left, or it spoils the mix. Pour what is left.",
        id="pot life",
    ),
    pytest.param(
        edge(words="the mix gels"),
        Stage.SOON,
        21,
        "Bookend B, mix 2, pot life: 19 min left, then the mix gels.",
        "Bookend B, mix 2, pot life: 19 minutes left, then the mix gels.",
        id="in the window's own words",
    ),
    pytest.param(
        edge("opens", 41, "nothing", label="lamp foot, clamps", words="clamps may come off"),
        Stage.OPENS,
        41,
        "Lamp foot, clamps: clamps may come off.",
        "Lamp foot, clamps: clamps may come off.",
        id="opens",
    ),
    pytest.param(
        edge("opens", 41, "nothing", label="lamp foot, clamps"),
        Stage.OPENS,
        171,
        "Lamp foot, clamps: open now (for 2 h 10).",
        "Lamp foot, clamps: open now (for two hours ten minutes).",
        id="opened while nobody could be told",
    ),
    pytest.param(
        edge("opens", 41, "extra work", label="lamp column, coat 2"),
        Stage.SOON,
        37,
        "Lamp column, coat 2: in 4 min it opens.",
        "Lamp column, coat 2: in four minutes it opens.",
        id="opens soon",
    ),
    pytest.param(
        edge(consequence="extra work: scuff first", label="lamp column, coat 2"),
        Stage.MISSED,
        101,
        "Lamp column, coat 2: missed 1 h 01 ago; that means extra work: scuff first.",
        "Lamp column, coat 2: missed one hour one minute ago; that means extra work: scuff first.",
        id="missed, extra work",
    ),
    pytest.param(
        edge(consequence="nothing"),
        Stage.MISSED,
        40,
        "Bookend B, mix 2, pot life: missed just now.",
        "Bookend B, mix 2, pot life: missed just now.",
        id="missed this moment",
    ),
    pytest.param(
        edge("weigh", 3, "extra work", label="bookend A, layer 2"),
        Stage.WEIGH,
        3,
        "Bookend A, layer 2: time to weigh.",
        "Bookend A, layer 2: time to weigh.",
        id="weigh",
    ),
    pytest.param(
        edge("full", 1440, "nothing", label="bookend A, cure"),
        Stage.FULL,
        1440,
        "Bookend A, cure: at full strength.",
        "Bookend A, cure: at full strength.",
        id="full",
    ),
]


def test_an_action_that_is_only_the_windows_words_isnt_said_twice() -> None:
    one = edge("opens", 41, "nothing", words="clamps may come off", action="clamps may come off")
    assert text_of(one, Stage.OPENS, one.at_s).count("clamps may come off") == 1


@pytest.mark.parametrize(("one", "stage", "minute", "text", "speech"), CASES)
def test_reminders_say_what_how_long_and_what_to_do(
    one: EdgeAhead, stage: Stage, minute: float, text: str, speech: str
) -> None:
    now_s = NOON_S + minute * MIN
    assert text_of(one, stage, now_s) == text
    assert speech_of(one, stage, now_s) == speech


def test_what_may_have_been_said_already_says_so() -> None:
    said = text_of(edge(), Stage.CLOSING, NOON_S + 32 * MIN, again=True)
    assert said.startswith("Again: bookend B")


@pytest.mark.parametrize(
    ("seconds", "words"),
    [
        (0, "no seconds"),
        (1, "one second"),
        (45, "45 seconds"),
        (59.7, "one minute"),
        (480, "eight minutes"),
        (3600, "one hour"),
        (4800, "one hour 20 minutes"),
        (86_400, "one day"),
        (158_400, "one day 20 hours"),
    ],
)
def test_durations_are_spoken_in_whole_words(seconds: float, words: str) -> None:
    assert spoken_duration(seconds) == words
