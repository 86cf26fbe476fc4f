"""What reminders say, on the screen and aloud."""

from __future__ import annotations

from dataclasses import replace

import pytest

from benchmate.remind.rules.edges import EdgeAhead, Stage
from benchmate.remind.rules.wording import joined, speech_of, spoken_duration, text_of, title_of
from tests.remind_help import MIN, NOON_S, after, edge

CASES = [
    pytest.param(
        edge(action="Pour what is left.", do="pour: bookend B, layer 3"),
        Stage.CLOSING,
        32,
        "Pour: bookend B, layer 3",
        "Until 12:40 (8 min): bookend B, mix 2, pot life, or it spoils the mix. Pour what is left.",
        "Bookend B, mix 2, pot life: eight minutes left, or it spoils the mix. Pour what is left.",
        id="pot life",
    ),
    pytest.param(
        edge(words="the mix gels"),
        Stage.SOON,
        21,
        "Running out: bookend B, mix 2, pot life",
        "Until 12:40 (19 min): bookend B, mix 2, pot life, then the mix gels.",
        "Bookend B, mix 2, pot life: 19 minutes left, then the mix gels.",
        id="in the window's own words",
    ),
    pytest.param(
        edge("opens", 41, "nothing", label="lamp foot, clamps", words="clamps may come off"),
        Stage.OPENS,
        41,
        "Clamps may come off: lamp foot",
        "12:41 (now): lamp foot, clamps: clamps may come off.",
        "Lamp foot, clamps: clamps may come off.",
        id="opens",
    ),
    pytest.param(
        edge("opens", 41, "nothing", label="lamp foot, clamps"),
        Stage.OPENS,
        171,
        "Open now: lamp foot",
        "Since 12:41 (2 h 10): lamp foot, clamps: open now.",
        "Lamp foot, clamps: open now (for two hours ten minutes).",
        id="opened while nobody could be told",
    ),
    pytest.param(
        edge("opens", 41, "extra work", label="A coat 2, soak", until_s=NOON_S + 51 * MIN),
        Stage.OPENS,
        44,
        "Open now: A coat 2",
        "Until 12:51 (7 min): A coat 2, soak: open now.",
        "A coat 2, soak: open now (for three minutes).",
        id="what opens and closes says until when",
    ),
    pytest.param(
        edge("opens", 41, "extra work", label="lamp column, coat 2", do="coat: lamp column"),
        Stage.SOON,
        37,
        "Soon: coat: lamp column",
        "From 12:41 (in 4 min): lamp column, coat 2: it opens.",
        "Lamp column, coat 2: in four minutes it opens.",
        id="opens soon",
    ),
    pytest.param(
        edge(consequence="extra work: scuff first", label="lamp column, coat 2"),
        Stage.MISSED,
        101,
        "What happened? Lamp column, coat 2",
        "12:40 (1 h 01 ago): lamp column, coat 2: missed; that means extra work: scuff first.",
        "Lamp column, coat 2: missed one hour one minute ago; that means extra work: scuff first.",
        id="missed, extra work",
    ),
    pytest.param(
        edge(consequence="nothing"),
        Stage.MISSED,
        40,
        "What happened? Bookend B, mix 2, pot life",
        "12:40 (just now): bookend B, mix 2, pot life: missed.",
        "Bookend B, mix 2, pot life: missed just now.",
        id="missed this moment",
    ),
    pytest.param(
        edge("weigh", 3, "extra work", label="bookend A, layer 2"),
        Stage.WEIGH,
        3 + 24 * 60,
        "Weigh it: bookend A, layer 2",
        "Since Wed 12:03 (1 d): bookend A, layer 2: time to weigh.",
        "Bookend A, layer 2: time to weigh (for one day).",
        id="weigh, since yesterday",
    ),
    pytest.param(
        edge("full", 1440, "nothing", label="bookend A, cure"),
        Stage.FULL,
        1440,
        "At full strength: bookend A",
        "12:00 (now): bookend A, cure: at full strength.",
        "Bookend A, cure: at full strength.",
        id="full",
    ),
]


def test_an_action_that_is_only_the_windows_words_isnt_said_twice() -> None:
    one = edge("opens", 41, "nothing", words="clamps may come off", action="clamps may come off")
    assert text_of(one, Stage.OPENS, after(41)).count("clamps may come off") == 1
    one = replace(one, action="Take the clamps off.", step="lamp/all/foot/unclamp#1")
    assert text_of(one, Stage.OPENS, after(41)).endswith("pot life. Take the clamps off.")


@pytest.mark.parametrize(("one", "stage", "minute", "title", "text", "speech"), CASES)
def test_reminders_say_when_by_the_clock_what_and_what_to_do(
    one: EdgeAhead, stage: Stage, minute: float, title: str, text: str, speech: str
) -> None:
    now = after(minute)
    assert title_of(one, stage) == title
    assert text_of(one, stage, now) == text
    assert speech_of(one, stage, now.now_s) == speech


def test_what_may_have_been_said_already_says_so() -> None:
    said = text_of(edge(), Stage.CLOSING, after(32), again=True)
    assert said.startswith("Again: until 12:40")


@pytest.mark.parametrize(
    ("labels", "words"),
    [
        (["bookend A, cure", "bookend B, cure"], "bookend A and bookend B, cure"),
        (["bookend A, cure", "lamp A, hard"], "bookend A, cure and lamp A, hard"),
        (["clock 1", "clock 1"], "clock 1"),
    ],
)
def test_like_clocks_are_named_as_one(labels: list[str], words: str) -> None:
    assert joined(labels) == words


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
