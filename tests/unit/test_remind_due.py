"""Which reminders are due: stages, insistence, answers, holds and kills."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchmate.remind.rules.due import look, reworded, showing
from benchmate.remind.rules.edges import EdgeAhead, Gravity, Now, Reminder, Stage, gravity_of
from benchmate.remind.rules.said import Delivery, Said
from benchmate.remind.rules.settings import EVERYWHERE, IN_THE_SHOP, RemindSettings
from benchmate.remind.rules.stages import stage_times
from tests.remind_help import MIN, NOON_S, after, due, edge, line, next_wake_s, now_at, said_of

PLAIN = RemindSettings()
NO_PHONE = RemindSettings(has_phone=False)
SHOP = tuple(kind for kind in EVERYWHERE if kind != "message")
ROUND_THE_CLOCK = RemindSettings(quiet=None)


def times_of(one: EdgeAhead, opens_min: float | None = None) -> dict[str, float]:
    """Stages and their beginnings in minutes after noon."""
    opens_s = None if opens_min is None else NOON_S + opens_min * MIN
    found = stage_times(one, ROUND_THE_CLOCK, after(0), opens_s)
    return {str(t.stage): round((t.begins_s - NOON_S) / MIN, 3) for t in found}


# The expected minutes are worked out by hand from the rules' words.
STAGES = [
    pytest.param(edge(), None, {"soon": 21, "closing": 29, "missed": 40}, id="pot life"),
    pytest.param(
        edge(at_min=10, hands_min=4, consequence="spoils joint"),
        None,
        {"soon": 1, "closing": 5, "missed": 10},
        id="short open time: never more than half of it",
    ),
    pytest.param(
        edge(at_min=1440, hands_min=20, consequence="extra work: scuff first"),
        240,
        {"soon": 1350, "closing": 1410, "missed": 1440},
        id="recoat window counts from its opening",
    ),
    pytest.param(
        edge(begun_min=None, at_min=60),
        None,
        {"soon": 34, "closing": 46, "missed": 60},
        id="length not known",
    ),
    pytest.param(
        edge(at_min=30, hands_min=20),
        None,
        {"soon": 3, "closing": 9, "missed": 30},
        id="hands need most of it",
    ),
    pytest.param(
        edge(at_min=60, consequence="nothing"),
        None,
        {"closing": 49, "missed": 60},
        id="nothing lost: no first word",
    ),
    pytest.param(
        edge(at_min=2, hands_min=0), None, {"closing": 1, "missed": 2}, id="too short for two words"
    ),
    pytest.param(
        edge("opens", 60, "extra work"), None, {"soon": 54, "opens": 60}, id="opens, with warning"
    ),
    pytest.param(
        edge("opens", 45, "extra work"), None, {"opens": 45}, id="opens, too near for a warning"
    ),
    pytest.param(
        edge(at_min=60, consequence="extra work"),
        48,
        {"closing": 54, "missed": 60},
        id="the word at the opening says until when",
    ),
    pytest.param(edge("opens", 45, "nothing"), None, {"opens": 45}, id="opens, nothing lost"),
    pytest.param(edge("opens", 5, "spoils joint"), None, {"opens": 5}, id="opens at once"),
    pytest.param(edge("full", 1440, "nothing"), None, {"full": 1440}, id="full"),
    pytest.param(edge("weigh", 3, "spoils mix"), None, {"weigh": 3}, id="weigh"),
]


@pytest.mark.parametrize(("one", "opens_min", "expected"), STAGES)
def test_stages_begin_when_the_rules_say(
    one: EdgeAhead, opens_min: float | None, expected: dict[str, float]
) -> None:
    assert times_of(one, opens_min) == pytest.approx(expected)


@given(
    st.sampled_from(["opens", "full", "closes", "weigh"]),
    st.sampled_from(["nothing", "extra work", "spoils mix", "something else"]),
    st.floats(0.1, 5000),
    st.floats(0, 600),
    st.one_of(st.none(), st.floats(0, 4000)),
)
@settings(max_examples=200, deadline=None)
def test_stages_keep_their_order_and_lie_within_the_window(
    kind: str, consequence: str, at_min: float, hands_min: float, opens_min: float | None
) -> None:
    one = edge(kind, at_min, consequence, hands_min=hands_min)  # type: ignore[arg-type]
    given_ = kind == "closes" and opens_min is not None and opens_min <= at_min
    opens_s = NOON_S + (opens_min or 0.0) * MIN if given_ else None
    found = stage_times(one, PLAIN, after(0), opens_s)
    begins = [t.begins_s for t in found]
    assert begins == sorted(begins)
    assert [t.stage.place for t in found] == sorted({t.stage.place for t in found})
    assert begins[0] >= (opens_s or NOON_S) - 1e-6
    assert begins[-1] == one.at_s


@pytest.mark.parametrize(
    ("words", "gravity"),
    [
        ("nothing", Gravity.NOTHING),
        ("", Gravity.NOTHING),
        ("extra work", Gravity.WORK),
        ("extra work: scuff first", Gravity.WORK),
        ("spoils mix", Gravity.SPOILS),
        ("Spoils the joint", Gravity.SPOILS),
        ("a surprise", Gravity.WORK),
    ],
)
def test_consequences_have_their_gravity(words: str, gravity: Gravity) -> None:
    assert gravity_of(words) is gravity


MANNERS = [
    pytest.param(edge(), 21, "soon", "once", IN_THE_SHOP, id="first word, spoils"),
    pytest.param(edge(), 29, "closing", "until heard", EVERYWHERE, id="last call, spoils"),
    pytest.param(edge(), 40, "missed", "until heard", EVERYWHERE, id="missed, spoils"),
    pytest.param(edge(consequence="extra work"), 40, "missed", "again", SHOP, id="work"),
    pytest.param(edge(consequence="nothing"), 40, "missed", "once", IN_THE_SHOP, id="nothing"),
    pytest.param(edge("opens", consequence="nothing"), 40, "opens", "once", IN_THE_SHOP, id="open"),
    pytest.param(edge("full", consequence="nothing"), 40, "full", "once", IN_THE_SHOP, id="full"),
    pytest.param(edge("weigh", consequence="extra work"), 40, "weigh", "again", SHOP, id="w"),
]


@pytest.mark.parametrize(("one", "minute", "stage", "insistence", "channels"), MANNERS)
def test_only_what_spoils_something_shouts(
    one: EdgeAhead, minute: float, stage: str, insistence: str, channels: tuple[str, ...]
) -> None:
    (reminder,) = due([one], [], PLAIN, after(minute))
    assert (reminder.stage, reminder.insistence) == (stage, insistence)
    assert reminder.channels == channels
    assert not reminder.again


def rounds_of(one: EdgeAhead, from_min: int, until_min: int, step_s: int = 30) -> list[float]:
    """When it is said, in minutes, if every round is heard by all and nobody answers."""
    deliveries: list[Delivery] = []
    spoken = []
    for second in range(from_min * 60, until_min * 60, step_s):
        for reminder in due([one], deliveries, NO_PHONE, after(second / 60)):
            spoken.append(second / 60)
            deliveries += [
                line(one, reminder.stage, "sent", second / 60, name, reminder.round)
                for name in reminder.channels
            ]
    return spoken


def test_what_closes_and_spoils_is_said_until_heard() -> None:
    assert rounds_of(edge(), 29, 40) == [29, 30, 31, 33, 35, 36, 37, 38, 39]


def test_what_is_lost_is_said_three_times_and_then_waits() -> None:
    assert rounds_of(edge(), 40, 24 * 60) == [40, 42, 47]


def test_what_means_extra_work_is_repeated_before_and_said_once_after() -> None:
    # The hands need 18 min, and no last call comes before half of the window is over.
    work = edge(consequence="extra work", hands_min=18)
    assert rounds_of(work, 20, 400) == [20, 25, 35, 40]


def test_what_loses_nothing_is_said_once() -> None:
    assert rounds_of(edge("opens", consequence="nothing"), 39, 400) == [40]


def test_messages_to_a_phone_are_sparser_than_sounds() -> None:
    one = edge()
    first = [line(one, Stage.CLOSING, "sent", 29, name) for name in EVERYWHERE]
    (second,) = due([one], first, PLAIN, after(30))
    assert "message" not in second.channels
    assert "sound" in second.channels
    later = [line(one, Stage.CLOSING, "sent", 33, name, 3) for name in second.channels]
    later += [line(one, Stage.CLOSING, "sent", m, "sound", n) for n, m in ((1, 30), (2, 31))]
    (third,) = due([one], first + later, PLAIN, after(34))
    assert third.channels == ("message",)


def test_only_the_latest_stage_is_said_after_a_long_sleep() -> None:
    (reminder,) = due([edge()], [], PLAIN, after(61))
    assert reminder.stage is Stage.MISSED
    assert "(21 min ago)" in reminder.text
    assert "spoils the mix" in reminder.text


def test_that_a_window_opened_is_stale_once_it_closes() -> None:
    label = "lamp column, coat 2"
    opens = edge("opens", 240, "extra work", label=label)
    closes = edge("closes", 1440, "extra work", label=label)
    only_open = due([opens, closes], [], ROUND_THE_CLOCK, after(300))
    assert said_of(only_open) == [(opens.key, Stage.OPENS)]
    both = due([opens, closes], [], ROUND_THE_CLOCK, after(1441))
    assert said_of(both) == [(closes.key, Stage.MISSED)]


def test_the_gravest_comes_first() -> None:
    lost, saved = edge(label="mix 2"), edge(label="mix 3", at_min=41.7)
    work = edge(label="coat 1", consequence="extra work", at_min=30)
    open_ = edge("opens", 20, "nothing", label="clamps")
    found = due([open_, work, lost, saved], [], PLAIN, after(41))
    assert [r.edge.label for r in found] == ["mix 3", "mix 2", "coat 1", "clamps"]


def test_a_paused_job_is_silent_and_its_windows_run_on() -> None:
    paused = edge(paused=True)
    assert due([paused], [], PLAIN, after(41)) == []
    assert next_wake_s([paused], [], PLAIN, after(0)) is None


class TestHolds:
    def test_at_the_machine_only_what_spoils_is_said(self) -> None:
        spoils, opens = edge(), edge("opens", 20, "spoils joint", label="joint")
        now = now_at(NOON_S + 30 * MIN, at_machine=True)
        assert said_of(due([spoils, opens], [], PLAIN, now)) == [(spoils.key, Stage.CLOSING)]
        off = now_at(NOON_S + 31 * MIN)
        assert (opens.key, Stage.OPENS) in said_of(due([spoils, opens], [], PLAIN, off))

    def test_quiet_hours_hold_back_until_they_end(self) -> None:
        night = edge("opens", 11 * 60, "extra work")  # 23:00
        assert due([night], [], PLAIN, after(11 * 60)) == []
        wake = next_wake_s([night], [], PLAIN, after(11 * 60))
        assert wake == pytest.approx(NOON_S + 19 * 60 * MIN)
        (reminder,) = due([night], [], PLAIN, after(19 * 60))
        assert "(8 h" in reminder.text

    def test_quiet_hours_dont_hold_back_what_spoils(self) -> None:
        night = edge("closes", 11 * 60, "spoils piece", begun_min=10 * 60)
        assert said_of(due([night], [], PLAIN, after(11 * 60))) == [(night.key, Stage.MISSED)]

    def test_what_the_night_would_swallow_is_said_before_it(self) -> None:
        # Closes at 03:00; the quiet hours begin at 22:00, half an hour before comes the word.
        coat = edge("closes", 15 * 60, "extra work", hands_min=20, label="coat 2")
        assert times_of_with_night(coat)["soon"] == 9.5 * 60
        assert said_of(due([coat], [], PLAIN, after(9.5 * 60))) == [(coat.key, Stage.SOON)]

    def test_what_can_wait_for_the_morning_does(self) -> None:
        # The last call falls in the night, but at 07:00 there is still time for the work.
        coat = edge("closes", 19.5 * 60, "extra work", begun_min=-3000, hands_min=25, label="coat")
        assert times_of_with_night(coat)["soon"] > 10 * 60
        assert said_of(due([coat], [], PLAIN, after(19 * 60))) == [(coat.key, Stage.CLOSING)]

    def test_the_evening_word_doesnt_come_before_the_window(self) -> None:
        coat = edge("closes", 15 * 60, "extra work", begun_min=9.75 * 60, label="coat 2")
        assert times_of_with_night(coat)["soon"] == 9.75 * 60

    def test_switched_off_kinds_are_never_used(self) -> None:
        settings = RemindSettings(switched_off=frozenset({"speech", "message"}))
        (reminder,) = due([edge()], [], settings, after(40))
        assert reminder.channels == ("terminal", "sound", "desktop", "command")

    def test_channels_can_be_chosen_for_each_insistence(self) -> None:
        settings = RemindSettings(channels={"until heard": ("message",)})
        (reminder,) = due([edge()], [], settings, after(40))
        assert reminder.channels == ("message",)
        told = [line(edge(), Stage.MISSED, "sent", 40, "message:1")]
        assert due([edge()], told, settings, after(50)) == []
        assert next_wake_s([edge()], told, settings, after(50)) is None


def times_of_with_night(one: EdgeAhead) -> dict[str, float]:
    found = stage_times(one, PLAIN, after(0), None)
    return {str(t.stage): round((t.begins_s - NOON_S) / MIN, 6) for t in found}


def test_a_banner_shows_what_stands_unanswered() -> None:
    one, other = edge(), edge("opens", 20, "nothing", label="clamps")
    lines = [line(one, Stage.CLOSING, "sent", 29), line(other, Stage.OPENS, "acknowledged", 21)]
    assert said_of(showing([one, other], lines, PLAIN, after(29.5))) == [(one.key, Stage.CLOSING)]


def test_the_next_wake_is_the_next_change() -> None:
    one = edge()
    assert next_wake_s([one], [], PLAIN, after(0)) == NOON_S + 21 * MIN
    told = [line(one, Stage.SOON, "sent", 21)]
    assert next_wake_s([one], told, PLAIN, after(22)) == NOON_S + 29 * MIN
    told += [line(one, Stage.CLOSING, "sent", 29, name) for name in ("sound", "message:1")]
    assert next_wake_s([one], told, PLAIN, after(29)) == NOON_S + 30 * MIN


def test_words_follow_the_time_while_a_channel_waits() -> None:
    (reminder,) = due([edge()], [], PLAIN, after(29))
    assert "(11 min)" in reminder.text
    assert "(8 min)" in reworded(reminder, after(32)).text


@given(st.data())
@settings(max_examples=120, deadline=None)
def test_nothing_is_due_before_the_next_wake(data: st.DataObject) -> None:
    edges = [
        edge(
            data.draw(st.sampled_from(["opens", "full", "closes", "weigh"])),
            data.draw(st.integers(1, 2000)),
            data.draw(st.sampled_from(["nothing", "extra work", "spoils mix"])),
            hands_min=data.draw(st.integers(0, 60)),
            label=f"window {n}",
        )
        for n in range(data.draw(st.integers(1, 4)))
    ]
    said = Said()
    minute = float(data.draw(st.integers(0, 2000)))
    for _ in range(6):
        found = look(edges, said, PLAIN, after(minute))
        for reminder in found.due:
            for one in (reminder, *reminder.also):
                for name in one.channels:
                    said.add(line_of(one, minute, name))
        found = look(edges, said, PLAIN, after(minute))
        assert found.due == ()
        if found.wake_s is None:
            return
        wake_min = (found.wake_s - NOON_S) / MIN
        assert wake_min > minute
        between = minute + (wake_min - minute) * data.draw(st.floats(0.01, 0.99))
        assert look(edges, said, PLAIN, after(between)).due == ()
        minute = wake_min


def line_of(reminder: Reminder, minute: float, channel: str) -> Delivery:
    return line(reminder.edge, reminder.stage, "sent", minute, channel, reminder.round)


def test_no_stage_depends_on_when_it_is_asked() -> None:
    one = edge("closes", 15 * 60, "extra work")

    def stages(now: Now) -> list[tuple[float, Stage]]:
        return [(round(t.begins_s, 3), t.stage) for t in stage_times(one, PLAIN, now, None)]

    assert stages(after(0)) == stages(after(300.123)) == stages(after(899.9))
