"""When each word of a reminder comes, to the second."""

from __future__ import annotations

from typing import Any

import pytest
from whenever import Time

from benchmate.remind.rules.due import look
from benchmate.remind.rules.edges import EdgeAhead, Gravity, Stage
from benchmate.remind.rules.quiet import QuietHours
from benchmate.remind.rules.settings import IN_THE_SHOP, PHONE, RemindSettings
from benchmate.remind.rules.stages import (
    EVENING_WORD_S,
    FORESEEN_S,
    closing_lead_s,
    soon_lead_s,
    stage_times,
)
from tests.remind_help import MIN, NOON_S, after, edge

H = 60 * MIN
PLAIN = RemindSettings(quiet=None)


@pytest.mark.parametrize(
    ("consequence", "hands_min", "length_min", "lead_min"),
    [
        ("spoils mix", 0.0, 40.0, 6.0),  # 15 % of it
        ("spoils mix", 0.0, 10.0, 2.0),  # at least 2 min
        ("spoils mix", 0.0, 300.0, 15.0),  # at most 15 min
        ("spoils mix", 5.0, 40.0, 11.0),  # and the hands' time
        ("spoils mix", 0.0, None, 9.0),  # an hour where nobody knows
        ("extra work", 0.0, 40.0, 4.0),  # 10 %
        ("extra work", 0.0, 5.0, 1.0),  # at least 1 min
        ("extra work", 0.0, 300.0, 10.0),  # at most 10 min
        ("spoils mix", 20.0, 30.0, 21.0),  # never over half, unless the hands need it
        ("spoils mix", 40.0, 30.0, 27.0),  # and never over nine tenths
        ("spoils mix", 5.0, 12.0, 6.0),  # half of it
    ],
)
def test_the_last_call_comes_in_time_for_the_hands(
    consequence: str, hands_min: float, length_min: float | None, lead_min: float
) -> None:
    made = edge(consequence=consequence, hands_min=hands_min)
    length_s = None if length_min is None else length_min * MIN
    assert closing_lead_s(made, length_s) == pytest.approx(lead_min * MIN)


@pytest.mark.parametrize(
    ("kind", "consequence", "hands_min", "length_min", "lead_min"),
    [
        ("closes", "spoils mix", 0.0, 40.0, 14.0),  # 6 min, and a fifth of it more
        ("closes", "spoils mix", 0.0, 20.0, 8.0),  # 3 min, and at least 5 more
        ("closes", "spoils mix", 0.0, 600.0, 75.0),  # 15 min, and at most an hour more
        ("closes", "spoils mix", 0.0, None, 21.0),
        ("closes", "spoils mix", 0.0, 6.0, 5.4),  # nine tenths at most
        ("closes", "spoils mix", 40.0, 30.0, None),  # hardly before the last call
        ("closes", "nothing", 0.0, 40.0, None),
        ("full", "spoils mix", 0.0, 40.0, None),
        ("opens", "extra work", 0.0, None, 5.0),
        ("opens", "extra work", 0.0, 50.0, 5.0),
        ("opens", "extra work", 0.0, 49.9, None),
        ("opens", "extra work", 0.0, 100.0, 10.0),
        ("opens", "extra work", 0.0, 300.0, 15.0),
    ],
)
def test_the_first_word_comes_where_it_is_worth_one(
    kind: Any, consequence: str, hands_min: float, length_min: float | None, lead_min: float | None
) -> None:
    made = edge(kind, consequence=consequence, hands_min=hands_min)
    found = soon_lead_s(made, None if length_min is None else length_min * MIN)
    assert found == (None if lead_min is None else pytest.approx(lead_min * MIN))


def test_a_first_word_a_minute_before_the_last_call_is_worth_one() -> None:
    made = edge(hands_min=0.0)
    assert closing_lead_s(made, 2.5 * MIN) == pytest.approx(1.25 * MIN)
    assert soon_lead_s(made, 2.5 * MIN) == pytest.approx(2.25 * MIN)
    assert soon_lead_s(made, 2.4 * MIN) is None


class TestChannels:
    def test_once_is_said_in_the_shop_and_to_the_phone(self) -> None:
        assert PLAIN.kinds_of("once") == (*IN_THE_SHOP, PHONE)
        assert PLAIN.kinds_of("again") == (*IN_THE_SHOP, PHONE, "command")

    def test_what_is_switched_off_or_chosen_instead(self) -> None:
        wished = RemindSettings(
            channels={"again": ("sound", PHONE)}, switched_off=frozenset([PHONE])
        )
        assert wished.kinds_of("again") == ("sound",)
        assert not wished.may_phone(Gravity.SPOILS)
        assert PLAIN.may_phone(Gravity.NOTHING)
        assert not RemindSettings(has_phone=False).may_phone(Gravity.SPOILS)
        assert not RemindSettings(phone="never").may_phone(Gravity.SPOILS)
        only = RemindSettings(phone="spoils")
        assert [only.may_phone(g) for g in Gravity] == [False, False, True]


def stages(
    made: EdgeAhead, settings: RemindSettings = PLAIN, **more: Any
) -> list[tuple[str, float]]:
    """Stages, in minutes after noon."""
    found = stage_times(made, settings, after(0.0), **more)
    return [(t.stage.value, pytest.approx((t.begins_s - NOON_S) / MIN)) for t in found]


class TestStages:
    def test_of_a_close(self) -> None:
        made = edge("closes", 40.0, hands_min=0.0)
        assert stages(made) == [("soon", 26.0), ("closing", 34.0), ("missed", 40.0)]

    def test_of_a_close_whose_window_opened_on_the_way(self) -> None:
        made = edge("closes", 40.0, hands_min=0.0)
        found = stages(made, opens_s=NOON_S + 20 * MIN)
        assert found == [("soon", 32.0), ("closing", 37.0), ("missed", 40.0)]

    def test_of_an_opening(self) -> None:
        assert stages(edge("opens", 100.0, "extra work")) == [("soon", 90.0), ("opens", 100.0)]
        assert stages(edge("opens", 5.0, "extra work")) == [("opens", 5.0)]
        unknown = edge("opens", 100.0, "extra work", begun_min=None)
        assert stages(unknown) == [("soon", 95.0), ("opens", 100.0)]

    @pytest.mark.parametrize(
        ("anew_min", "soon_min"), [(60.0, 60.0), (99.9, 99.9), (100.0, 90.0), (101.0, 90.0)]
    )
    def test_of_an_opening_that_was_put_off(self, anew_min: float, soon_min: float) -> None:
        made = edge("opens", 100.0, "extra work", anew_s=NOON_S + anew_min * MIN)
        assert stages(made) == [("soon", soon_min), ("opens", 100.0)]

    def test_of_the_cold_and_of_anything_else(self) -> None:
        assert stages(edge("chills", 150.0)) == [("closing", 150.0 - FORESEEN_S / MIN)]
        assert stages(edge("chilled", 50.0)) == [("missed", 50.0)]
        assert stages(edge("full", 50.0)) == [("full", 50.0)]
        assert stages(edge("weigh", 3.0)) == [("weigh", 3.0)]


class TestTheEveningBefore:
    """Quiet from 22:00 to 07:00; noon is 12:00."""

    NIGHT = RemindSettings(quiet=QuietHours(Time(22, 0), Time(7, 0)))

    def soon_min(self, at_min: float, hands_min: float = 0.0, **more: Any) -> float | None:
        made = edge("closes", at_min, "extra work", hands_min=hands_min, **more)
        found = dict(stages(made, self.NIGHT))
        return found.get("soon")

    def test_is_told_what_the_night_would_swallow(self) -> None:
        assert EVENING_WORD_S == 30 * MIN
        assert self.soon_min(15 * 60.0) == 9.5 * 60.0  # closes at 3:00: told at 21:30

    @pytest.mark.parametrize(("at_h", "told_h"), [(18.99, 9.5), (19.0, None)])
    def test_what_can_wait_for_the_morning_waits(self, at_h: float, told_h: float | None) -> None:
        usual = dict(stages(edge("closes", at_h * 60.0, "extra work", hands_min=0.0)))["soon"]
        assert self.soon_min(at_h * 60.0) == (usual if told_h is None else told_h * 60.0)

    def test_never_before_it_is_begun(self) -> None:
        assert self.soon_min(15 * 60.0, begun_min=9.75 * 60.0) == 9.75 * 60.0

    @pytest.mark.parametrize("consequence", ["spoils mix", "nothing"])
    def test_what_spoils_breaks_the_quiet_and_what_is_nothing_is_not_told(
        self, consequence: str
    ) -> None:
        made = edge("closes", 15 * 60.0, consequence, hands_min=0.0)
        assert stages(made, self.NIGHT) == stages(made)


def test_what_opened_is_not_spoken_of_once_its_window_closes() -> None:
    window = {"window": "w"}
    opens = edge("opens", 10.0, "extra work", label="coat", **window)
    closes = edge("closes", 40.0, "extra work", label="coat", hands_min=0.0, **window)
    found = look([opens, closes], [], PLAIN, after(38.0))
    assert [(r.edge.edge, r.stage) for r in found.due] == [("closes", Stage.CLOSING)]
    other = edge("opens", 10.0, "extra work", label="other")
    found = look([other, closes], [], PLAIN, after(38.0))
    assert {r.edge.edge for r in found.due} == {"opens", "closes"}


def test_a_paused_job_is_not_spoken_of_and_the_next_look_is_the_soonest() -> None:
    one, two = edge("closes", 40.0, hands_min=0.0), edge("closes", 90.0, label="two", hands_min=0.0)
    assert look([edge("closes", 40.0, paused=True)], [], PLAIN, after(39.0)).due == ()
    assert look([one, two], [], PLAIN, after(0.0)).wake_s == pytest.approx(NOON_S + 26 * MIN)
    assert look([], [], PLAIN, after(0.0)).wake_s is None


def test_the_gravest_comes_first_and_of_one_gravity_the_first_to_close() -> None:
    later, sooner = (
        edge("closes", at, label=str(at), hands_min=0.0, begun_min=-60.0) for at in (5.0, 3.0)
    )
    opened = edge("opens", 1.0, "extra work", label="opened")
    lost = edge("closes", 1.0, label="lost", hands_min=0.0)
    found = look([opened, lost, later, sooner], [], PLAIN, after(2.0))
    assert [r.edge.label for r in found.due] == ["3.0", "5.0", "lost", "opened"]
