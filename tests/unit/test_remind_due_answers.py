"""Which reminders are due after an answer, and after a kill."""

from __future__ import annotations

from benchmate.remind.rules.edges import Stage
from benchmate.remind.rules.said import Call
from benchmate.remind.rules.settings import IN_THE_SHOP, RemindSettings
from tests.remind_help import MIN, NOON_S, after, due, edge, line, next_wake_s, said_of

PLAIN = RemindSettings()
ROUND_THE_CLOCK = RemindSettings(quiet=None)


class TestAnswers:
    def test_acknowledging_quiets_the_stage_but_not_the_next(self) -> None:
        one = edge()
        lines = [
            line(one, Stage.CLOSING, "sent", 29),
            line(one, Stage.CLOSING, "acknowledged", 29.5, "bench"),
        ]
        assert due([one], lines, PLAIN, after(39)) == []
        assert said_of(due([one], lines, PLAIN, after(40))) == [(one.key, Stage.MISSED)]

    def test_acknowledging_a_later_stage_covers_the_earlier(self) -> None:
        one = edge()
        lines = [line(one, Stage.CLOSING, "acknowledged", 20, "bench")]
        assert due([one], lines, PLAIN, after(22)) == []

    def test_a_window_begun_anew_is_told_anew(self) -> None:
        first = edge("opens", 40, "nothing")
        again = edge("opens", 70, "nothing", begun_min=50)
        lines = [line(first, Stage.OPENS, "acknowledged", 41)]
        assert due([first], lines, PLAIN, after(45)) == []
        assert said_of(due([again], lines, PLAIN, after(70))) == [(again.key, Stage.OPENS)]

    def test_called_again_when_asked(self) -> None:
        one = edge("opens", 40, "nothing")
        lines = [
            line(one, Stage.OPENS, "sent", 40),
            line(one, Stage.OPENS, "call again at", 41, "bench", until_min=51),
        ]
        assert due([one], lines, PLAIN, after(50.9)) == []
        (reminder,) = due([one], lines, PLAIN, after(51))
        assert reminder.round == 1
        assert next_wake_s([one], lines, PLAIN, after(45)) == NOON_S + 51 * MIN

    def test_the_last_word_counts(self) -> None:
        one = edge("opens", 40, "nothing")
        lines = [
            line(one, Stage.OPENS, "sent", 40),
            line(one, Stage.OPENS, "call again at", 41, "bench", until_min=51),
            line(one, Stage.OPENS, "acknowledged", 42, "command"),
        ]
        assert due([one], lines, PLAIN, after(60)) == []
        lines.append(line(one, Stage.OPENS, "call again at", 43, "bench", until_min=61))
        assert said_of(due([one], lines, PLAIN, after(61))) == [(one.key, Stage.OPENS)]

    def test_a_call_later_doesnt_hold_back_what_spoils_next(self) -> None:
        one = edge()
        lines = [line(one, Stage.SOON, "call again at", 22, "bench", until_min=60)]
        assert said_of(due([one], lines, PLAIN, after(29))) == [(one.key, Stage.CLOSING)]

    def test_a_call_later_holds_back_what_doesnt(self) -> None:
        one = edge(consequence="extra work")
        lines = [line(one, Stage.SOON, "call again at", 22, "bench", until_min=60)]
        assert due([one], lines, PLAIN, after(39)) == []
        assert said_of(due([one], lines, PLAIN, after(60))) == [(one.key, Stage.MISSED)]


class TestKills:
    def test_a_call_without_outcome_is_given_once_more_and_marked(self) -> None:
        one = edge("opens", 40, "nothing")
        lines = [
            line(one, Stage.OPENS, "sent", 40, "terminal"),
            line(one, Stage.OPENS, "about to", 40, "sound"),
        ]
        (reminder,) = due([one], lines, PLAIN, after(41))
        assert (reminder.again, reminder.channels, reminder.round) == (True, ("sound",), 0)
        assert reminder.text.startswith("Again: ")
        done = [*lines, line(one, Stage.OPENS, "sent", 41, "sound")]
        assert due([one], done, PLAIN, after(42)) == []

    def test_ones_own_calls_under_way_are_left_alone(self) -> None:
        one = edge("opens", 40, "nothing")
        lines = [line(one, Stage.OPENS, "about to", 40, "sound")]
        flight = {Call(one.key, Stage.OPENS, 0, "sound")}
        assert due([one], lines, PLAIN, after(41), flight) == []

    def test_killed_while_announcing_every_channel_gets_it(self) -> None:
        one = edge("opens", 40, "nothing")
        lines = [line(one, Stage.OPENS, "about to", 40, "terminal")]
        (reminder,) = due([one], lines, PLAIN, after(41))
        assert set(reminder.channels) == set(IN_THE_SHOP)
        assert reminder.again

    def test_a_repeat_that_is_due_takes_the_mark_over(self) -> None:
        one = edge()
        lines = [
            line(one, Stage.CLOSING, "sent", 29, "terminal"),
            line(one, Stage.CLOSING, "about to", 29, "sound"),
        ]
        (reminder,) = due([one], lines, PLAIN, after(31))
        assert (reminder.round, reminder.again) == (1, True)
        assert "sound" in reminder.channels

    def test_what_nobody_took_is_tried_again_less_and_less_often(self) -> None:
        one = edge("opens", 40, "nothing")
        lines = [line(one, Stage.OPENS, "failed", 40)]
        assert due([one], lines, PLAIN, after(40.9)) == []
        assert due([one], lines, PLAIN, after(41))[0].round == 1
        lines.append(line(one, Stage.OPENS, "failed", 41, number=1))
        assert next_wake_s([one], lines, PLAIN, after(41)) == NOON_S + 43 * MIN
        lines += [line(one, Stage.OPENS, "failed", 50 + n, number=n) for n in range(2, 6)]
        assert due([one], lines, PLAIN, after(600)) == []

    def test_what_spoils_is_tried_for_ever(self) -> None:
        one = edge()
        lines = [line(one, Stage.MISSED, "failed", 41 + n, number=n) for n in range(30)]
        (reminder,) = due([one], lines, PLAIN, after(41 + 29 + 10))
        assert reminder.round == 30

    def test_a_slow_channel_keeps_no_other_waiting(self) -> None:
        one = edge()
        lines = [
            line(one, Stage.CLOSING, "sent", 29, "sound"),
            line(one, Stage.CLOSING, "about to", 29, "message:1"),
        ]
        flight = {Call(one.key, Stage.CLOSING, 0, "message:1")}
        (reminder,) = due([one], lines, PLAIN, after(30), flight)
        assert "sound" in reminder.channels
        assert "message" not in reminder.channels
        assert not reminder.again
