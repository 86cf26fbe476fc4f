"""The dispatcher never keeps its caller waiting, and says what became of every call."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable

import pytest

from benchmate.remind.channels.base import SENT, Outcome
from benchmate.remind.dispatcher import MOST_WAITING, Dispatcher, Given
from benchmate.remind.rules.edges import Reminder
from benchmate.remind.rules.settings import RemindSettings
from tests.remind_help import FakeChannel, after, due, edge

PATIENCE_S = 10.0


def reminder(label: str = "clamps", consequence: str = "nothing") -> Reminder:
    kind = "closes" if consequence.startswith("spoils") else "opens"
    one = edge(kind, 40, consequence, label=label)  # type: ignore[arg-type]
    return due([one], [], RemindSettings(), after(40))[0]


def outcomes(dispatcher: Dispatcher, count: int) -> list[Given]:
    """Wait for so many outcomes."""
    found: list[Given] = []
    give_up = time.monotonic() + PATIENCE_S
    while len(found) < count and time.monotonic() < give_up:
        found += dispatcher.outcomes()
        time.sleep(0.001)
    assert len(found) == count
    return found


class Gate:
    """A channel's answer that waits until it is let through."""

    def __init__(self) -> None:
        self.open = threading.Event()

    def __call__(self, reminder: Reminder) -> Outcome:
        assert self.open.wait(PATIENCE_S)
        return SENT


def test_a_channel_that_hangs_keeps_neither_caller_nor_others_waiting() -> None:
    gate = Gate()
    slow, quick = FakeChannel("message:1", gate), FakeChannel("sound")
    dispatcher = Dispatcher([slow, quick])
    for _ in range(10):
        dispatcher.submit(reminder(), "message:1")
    dispatcher.submit(reminder(), "sound")
    (first,) = outcomes(dispatcher, 1)
    assert first.call.channel == "sound"
    gate.open.set()
    assert len(outcomes(dispatcher, 10)) == 10


def test_the_urgent_goes_first() -> None:
    gate = Gate()
    channel = FakeChannel("speech", gate)
    dispatcher = Dispatcher([channel])
    dispatcher.submit(reminder("first"), "speech")
    assert channel.called.wait(PATIENCE_S)
    for label, consequence in (("a", "nothing"), ("b", "nothing"), ("c", "spoils mix")):
        dispatcher.submit(reminder(label, consequence), "speech")
    gate.open.set()
    outcomes(dispatcher, 4)
    assert [r.edge.label for r in channel.given] == ["first", "c", "a", "b"]


def test_what_is_out_of_date_when_its_turn_comes_is_dropped_and_said_to_be() -> None:
    gate = Gate()
    channel = FakeChannel("speech", gate)
    dispatcher = Dispatcher([channel])
    wanted = {"first", "b"}
    dispatcher.refresh = lambda r: r if r.edge.label in wanted else None
    for label in ("first", "a", "b"):
        dispatcher.submit(reminder(label), "speech")
    gate.open.set()
    found = outcomes(dispatcher, 3)
    assert [r.edge.label for r in channel.given] == ["first", "b"]
    dropped = next(g for g in found if not g.outcome.ok)
    assert "out of date" in dropped.outcome.note
    assert dropped.tries == 0


def test_a_full_queue_drops_the_newest_of_what_isnt_urgent() -> None:
    gate = Gate()
    channel = FakeChannel("speech", gate)
    dispatcher = Dispatcher([channel])
    dispatcher.submit(reminder("first"), "speech")
    assert channel.called.wait(PATIENCE_S)
    for n in range(MOST_WAITING):
        dispatcher.submit(reminder(f"{n}"), "speech")
    dispatcher.submit(reminder("urgent", "spoils mix"), "speech")
    (dropped,) = outcomes(dispatcher, 1)
    assert "too much" in dropped.outcome.note
    gate.open.set()
    outcomes(dispatcher, MOST_WAITING + 1)
    assert channel.given[1].edge.label == "urgent"
    assert str(MOST_WAITING - 1) not in {r.edge.label for r in channel.given}


def failing(times: int, *, retry: bool) -> Callable[[Reminder], Outcome]:
    left = iter(range(times))

    def answer(_: Reminder) -> Outcome:
        return SENT if next(left, None) is None else Outcome(ok=False, note="down", retry=retry)

    return answer


@pytest.mark.parametrize(
    ("times", "retry", "ok", "tries"),
    [
        pytest.param(0, True, True, 1, id="at once"),
        pytest.param(2, True, True, 3, id="third try"),
        pytest.param(9, True, False, 4, id="given up"),
        pytest.param(1, False, False, 1, id="no use trying again"),
    ],
)
def test_a_channel_that_asks_for_it_is_tried_again(
    times: int, *, retry: bool, ok: bool, tries: int
) -> None:
    channel = FakeChannel("message:1", failing(times, retry=retry))
    dispatcher = Dispatcher([channel], back_off_s=(0.001, 0.001, 0.001))
    dispatcher.submit(reminder(), "message:1")
    (given,) = outcomes(dispatcher, 1)
    assert (given.outcome.ok, given.tries) == (ok, tries)
    assert len(channel.given) == tries


def test_others_go_while_one_waits_for_its_next_try() -> None:
    answers = {"a": Outcome(ok=False, retry=True), "b": SENT}
    channel = FakeChannel("message:1", lambda r: answers[r.edge.label])
    dispatcher = Dispatcher([channel], back_off_s=(3600.0,))
    dispatcher.submit(reminder("a"), "message:1")
    dispatcher.submit(reminder("b"), "message:1")
    (given,) = outcomes(dispatcher, 1)
    assert given.outcome.ok
    assert [r.edge.label for r in channel.given] == ["a", "b"]


def test_a_channel_that_breaks_is_a_failure_and_works_on() -> None:
    def answer(one: Reminder) -> Outcome:
        if one.edge.label == "a":
            raise RuntimeError("a secret")
        return SENT

    dispatcher = Dispatcher([FakeChannel("sound", answer)])
    dispatcher.submit(reminder("a"), "sound")
    dispatcher.submit(reminder("b"), "sound")
    broken, fine = outcomes(dispatcher, 2)
    assert not broken.outcome.ok
    assert "RuntimeError" in broken.outcome.note
    assert "secret" not in broken.outcome.note
    assert fine.outcome.ok


def test_words_that_cant_be_brought_up_to_date_are_said_as_they_were() -> None:
    channel = FakeChannel("sound")
    dispatcher = Dispatcher([channel])
    dispatcher.refresh = lambda r: 1 // 0  # type: ignore[assignment, return-value]
    for _ in range(2):
        dispatcher.submit(reminder(), "sound")
    assert [g.outcome.ok for g in outcomes(dispatcher, 2)] == [True, True]
    assert len(channel.given) == 2


def test_it_says_whether_a_channel_is_being_called() -> None:
    gate = Gate()
    dispatcher = Dispatcher([FakeChannel("sound", gate)])
    assert not dispatcher.is_busy
    dispatcher.submit(reminder(), "sound")
    while not dispatcher.is_busy:
        time.sleep(0.001)
    gate.open.set()
    outcomes(dispatcher, 1)
    while dispatcher.is_busy:
        time.sleep(0.001)


def test_closing_says_what_was_left_unsaid() -> None:
    gate = Gate()
    channel = FakeChannel("sound", gate)
    dispatcher = Dispatcher([channel])
    dispatcher.submit(reminder("a"), "sound")
    assert channel.called.wait(PATIENCE_S)
    dispatcher.submit(reminder("b"), "sound")
    dispatcher.close()
    (left,) = outcomes(dispatcher, 1)
    assert "closed" in left.outcome.note
    gate.open.set()
    outcomes(dispatcher, 1)


def test_what_is_shown_can_be_withdrawn_where_a_channel_knows_how() -> None:
    channel = FakeChannel("desktop")
    dispatcher = Dispatcher([channel])
    dispatcher.withdraw("some key")
    give_up = time.monotonic() + PATIENCE_S
    while not channel.withdrawn and time.monotonic() < give_up:
        time.sleep(0.001)
    assert channel.withdrawn == ["some key"]
