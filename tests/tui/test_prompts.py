"""Questions: the weigh prompt, bad input, slips, times, the air."""

from __future__ import annotations

import re
from collections.abc import AsyncIterator, Iterator
from contextlib import asynccontextmanager
from pathlib import Path

import msgspec
import pytest
from textual import events
from textual.pilot import Pilot
from textual.widgets import Input

from benchmate.air.latest import air_now
from benchmate.job.deciding import commands as cmd
from benchmate.job.deciding.to_hand import need_key
from benchmate.job.events import stored as ev
from benchmate.job.state.shop import SCALES
from benchmate.tui.app import BenchApp
from benchmate.tui.prompts.ask import Ask
from benchmate.tui.prompts.choose import Choose
from benchmate.tui.prompts.weigh import WeighPrompt
from benchmate.tui.widgets.lines import Lines
from tests.hand_made import record
from tests.tui.benches import POUR, Shop, filled_plan
from tests.tui.test_bench_keys import press, shows, typed

LAYER = POUR.format("A", 1)


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Shop]:
    """The first layer is poured: its weight is due, planned at 128 g ± 4 g."""
    made = Shop(tmp_path).small(filled_plan())
    made.mix()
    made.bench.do("t", cmd.MarkDone(address=LAYER))
    yield made
    made.bench.close()


@asynccontextmanager
async def asking(shop: Shop, key: str = "space") -> AsyncIterator[tuple[BenchApp, Pilot[None]]]:
    """The app with a question open."""
    app = BenchApp(shop.bench)
    async with app.run_test(size=(80, 24)) as pilot:
        await press(pilot, key)
        yield app, pilot


def answer(app: BenchApp) -> str:
    return " ".join(app.screen.query_one("#answer", Lines).text.split())


def box(app: BenchApp) -> Input:
    return app.screen.query_one(Input)


def weights(shop: Shop) -> list[float]:
    return [w.net_g for w in shop.bench.shop.jobs["t"].weighings.values()]


async def put(app: BenchApp, pilot: Pilot[None], text: str) -> None:
    box(app).value = text
    await pilot.pause()


async def test_the_plan_stands_beside_an_empty_line_and_a_reading_is_answered_at_once(
    shop: Shop,
) -> None:
    async with asking(shop) as (app, pilot):
        assert isinstance(app.screen, WeighPrompt)
        assert box(app).value == ""
        assert "plan 128 g" in answer(app)
        await typed(pilot, "118.4")
        assert re.search(r"−9\.60? g from plan .*9\.60? g", answer(app))
        assert weights(shop) == []
        await press(pilot, "enter")
        assert weights(shop) == [118.4]


async def test_plus_and_minus_nudge_by_a_division(shop: Shop) -> None:
    async with asking(shop) as (app, pilot):
        await press(pilot, "plus", "up", "minus", "down")
        assert box(app).value == "", "nothing to nudge before a reading stands there"
        await put(app, pilot, "128 g")
        await press(pilot, "plus", "plus", "minus", "plus")
        assert box(app).value == "130 g"
        await put(app, pilot, "127.5 g")
        await press(pilot, "minus")
        assert box(app).value == "127.4 g"
        await press(pilot, "up")
        assert box(app).value == "127.5 g"


async def test_an_untouched_line_is_never_recorded_enter_asks_and_space_offers_later(
    shop: Shop,
) -> None:
    async with asking(shop) as (app, pilot):
        await press(pilot, "enter")
        assert "What does the scale read?" in answer(app)
        shop.clock.tick(1.6)
        await press(pilot, "space")
        assert isinstance(app.screen, Choose)
        assert app.screen.options == ("Now", "Weigh later")
        await press(pilot, "down", "enter")
        assert weights(shop) == []
        assert "weigh bookend" not in " ".join(shows(app).split()).lower()[:90]
        await press(pilot, "w")
        assert isinstance(app.screen, WeighPrompt), "w weighs what was put off"


async def test_readings_from_before_an_undo_count_only_where_somebody_says_so(shop: Shop) -> None:
    shop.bench.do("t", cmd.TakeBack())
    shop.bench.do("t", cmd.ReadScale(address=LAYER, reading_g=600.0, text="", adding=""))
    shop.bench.do("t", cmd.MarkDone(address=LAYER))
    shop.bench.do("t", cmd.TakeBack())
    async with asking(shop, "w") as (app, pilot):
        await pilot.pause()
        assert isinstance(app.screen, Choose)
        assert "Read before the undo: start 600 g." in " ".join(shows(app).split())
        await typed(pilot, "1")
        await press(pilot, "enter")
        assert isinstance(app.screen, Choose), "left open, it is asked again before anything counts"
        assert weights(shop) == []
        await press(pilot, "down", "enter")
        assert LAYER not in shop.bench.shop.jobs["t"].running
        await press(pilot, "ctrl+u")
        await typed(pilot, "128")
        await press(pilot, "enter")
        assert weights(shop) == [128.0]


async def test_readings_while_pouring_say_what_is_to_go_by_what_was_added(shop: Shop) -> None:
    shop.bench.do("t", cmd.TakeBack())
    async with asking(shop, "w") as (app, pilot):
        await press(pilot, "tab")
        await typed(pilot, "600")
        await press(pilot, "enter")
        await typed(pilot, "650")
        assert "78 g to go 50 g shot" in answer(app)
        await press(pilot, "enter", "tab")
        await typed(pilot, "660")
        assert "68 g to go 50 g shot 10 g resin" in answer(app)
        await press(pilot, "enter", "escape")
        readings = shop.bench.shop.jobs["t"].running[LAYER]
        assert [(r.reading_g, r.adding) for r in readings] == [
            (600.0, ""),
            (650.0, "shot"),
            (660.0, "resin"),
        ]


async def test_a_pour_is_read_from_its_start_and_all_in_is_the_scales_own_reading(
    shop: Shop,
) -> None:
    shop.bench.do("t", cmd.TakeBack())
    async with asking(shop, "w") as (app, pilot):
        await press(pilot, "tab")
        assert "reading: start" in answer(app)
        assert box(app).value == ""
        await press(pilot, "tab")
        assert "what went in plan 128 g" in answer(app)
        assert box(app).value == ""
        await press(pilot, "tab")
        await typed(pilot, "600")
        await press(pilot, "enter")
        await typed(pilot, "590")
        assert "10 g shot less than before" in answer(app)
        await press(pilot, "ctrl+u")
        assert box(app).value == ""
        await press(pilot, "tab", "tab")
        assert "reading: all in plan 728 g read so far: start 600 g" in answer(app)
        assert box(app).value == ""


async def test_a_pour_marked_after_readings_is_weighed_as_the_scale_stands(shop: Shop) -> None:
    shop.bench.do("t", cmd.TakeBack())
    for reading_g, adding in ((600.0, ""), (720.0, "shot")):
        shop.bench.do(
            "t", cmd.ReadScale(address=LAYER, reading_g=reading_g, text="", adding=adding)
        )
    shop.bench.do("t", cmd.MarkDone(address=LAYER))
    async with asking(shop) as (app, _):
        assert "reading: all in plan 728 g" in answer(app)
        assert box(app).value == ""


async def test_a_weight_that_takes_away_is_refused(shop: Shop) -> None:
    async with asking(shop) as (app, pilot):
        await put(app, pilot, "-5")
        await press(pilot, "enter")
        assert isinstance(app.screen, WeighPrompt)
        assert "A layer that takes 5.0 g away can't be. Read the scale again." in answer(app)
        assert weights(shop) == []


async def test_plus_and_minus_are_typed_where_no_whole_number_stands(shop: Shop) -> None:
    async with asking(shop) as (app, pilot):
        await put(app, pilot, "118.4 g; ")
        await press(pilot, "end", "minus")
        assert box(app).value == "118.4 g; -"
        await put(app, pilot, "127")
        await press(pilot, "home", "minus")
        assert box(app).value == "-127"


@pytest.mark.parametrize("typed_", ["128 g", "128.4 g", "127.96 g"])
async def test_nothing_off_the_plan_has_no_sign(shop: Shop, typed_: str) -> None:
    async with asking(shop) as (app, pilot):
        await put(app, pilot, typed_)
        assert not re.search(r"[−+-]0(\.0+)? g", answer(app))


async def test_digits_that_the_scale_can_t_show_are_asked_about(shop: Shop) -> None:
    now = shop.bench.now()
    record(
        shop.bench,
        (SCALES, ev.ScaleDescribed(happened=now, recorded=now, name="bench scale", division_g=1.0)),
    )
    own = shop.bench.settings
    unchecked = msgspec.structs.replace(own.scale, check=False)
    shop.bench.settings = msgspec.structs.replace(own, scale=unchecked)
    async with asking(shop) as (app, pilot):
        await put(app, pilot, "128.43 g")
        await press(pilot, "enter")
        assert isinstance(app.screen, Choose)
        assert "128.43 g shows more than bench scale can: it counts in steps of 1 g." in (
            " ".join(shows(app).split())
        )
        assert weights(shop) == []
        await press(pilot, "down", "enter")
        assert weights(shop) == [128.0]


BAD = {
    "words": "abc",
    "negative": "-12 g",
    "overload": "OL",
    "another kind": "12 mm",
    "nothing": "",
    "endless": "9" * 400,
    "a page": "Dear diary, " * 150,
    "not a number": "nan",
    "markup": "[/x]",
    "an escape": "\x1b[31m12 g",
}


@pytest.mark.parametrize("text", BAD.values(), ids=list(BAD))
async def test_bad_input_is_one_sentence_and_stays_to_be_mended(shop: Shop, text: str) -> None:
    async with asking(shop) as (app, pilot):
        await put(app, pilot, text)
        kept = box(app).value
        await press(pilot, "enter")
        if isinstance(app.screen, Choose):
            await press(pilot, "escape")
        said = answer(app)
        assert weights(shop) == []
        assert isinstance(app.screen, WeighPrompt)
        assert box(app).value == kept
        assert said
        assert "\x1b" not in said
        assert len(app.screen.query_one("#answer", Lines)._lines) <= 3
        await put(app, pilot, "127 g")
        await press(pilot, "enter")
        assert weights(shop) == [127.0]


async def test_a_pasted_page_is_cut_to_its_first_line(shop: Shop) -> None:
    async with asking(shop) as (app, pilot):
        app.post_message(events.Paste("127 g\nand the rest\x1b[2J of the page\n" * 50))
        await pilot.pause()
        await press(pilot, "enter")
        assert weights(shop) == [127.0]


async def test_a_slip_is_asked_about_before_it_counts(shop: Shop) -> None:
    async with asking(shop) as (app, pilot):
        await put(app, pilot, "1280 g")
        await press(pilot, "enter")
        assert isinstance(app.screen, Choose)
        assert weights(shop) == []
        await press(pilot, "down", "enter")
        assert weights(shop) == [128.0]


async def test_what_looks_like_a_slip_may_stand_or_be_typed_again(shop: Shop) -> None:
    async with asking(shop) as (app, pilot):
        await put(app, pilot, "1280 g")
        await press(pilot, "enter", "enter")
        assert isinstance(app.screen, WeighPrompt)
        assert box(app).value == "", "to type it again the line is cleared"
        await put(app, pilot, "1280 g")
        await press(pilot, "enter", "down", "down", "enter")
        assert weights(shop) == [1280.0]


TARGET = "B=840 g +/- 6 g"
FIGURES = {
    "a weight that looks like a slip": ("space", "1280 g", "Keep it"),
    "a reading while pouring that does": ("w", "6500 g", "Keep it"),
    "a temperature that does": ("a", "-55", "Type it again"),
    "a fraction for per cent": ("a", "17.5 0.62", "Record 17.5"),
    "nothing typed yet": ("space space", "", "Weigh later"),
    "another target": ("o", TARGET, "Change it"),
}


@pytest.mark.parametrize(("keys", "text", "answers"), FIGURES.values(), ids=list(FIGURES))
async def test_a_digit_never_answers_what_a_figure_asked_but_begins_the_figure_anew(
    shop: Shop, keys: str, text: str, answers: str
) -> None:
    if keys == "w":
        shop.bench.do("t", cmd.TakeBack())
        read = cmd.ReadScale(address=LAYER, reading_g=600.0, text="", adding="")
        shop.bench.do("t", read)
    kept = shop.bench.shop.jobs["t"].records
    async with asking(shop, keys.split()[0]) as (app, pilot):
        await ask_by(app, pilot, shop, keys, text)
        assert isinstance(app.screen, Choose)
        assert any(answers in option for option in app.screen.options)
        assert "press a number" not in shows(app)
        question = app.screen
        await typed(pilot, "293")
        assert not question.is_attached
        assert isinstance(app.screen, Ask)
        assert box(app).value == "293"
    assert shop.bench.shop.jobs["t"].records == kept
    assert not shop.bench.shop.air_of("shop").readings


async def ask_by(app: BenchApp, pilot: Pilot[None], shop: Shop, keys: str, text: str) -> None:
    """The keys after the first, then what is typed."""
    if keys == "o":
        for words in ("Change the plan", "target"):
            assert isinstance(app.screen, Choose)
            n = next(n for n, o in enumerate(app.screen.options, 1) if words in o)
            await press(pilot, str(n))
    shop.clock.tick(2.0)
    await press(pilot, *keys.split()[1:])
    if text:
        await put(app, pilot, text)
        await press(pilot, "enter")


async def test_a_missed_window_done_in_time_is_recorded_at_its_time(shop: Shop) -> None:
    shop.bench.do("t", cmd.Weigh(address=LAYER, net_g=128.0))
    shop.clock.tick(40 * 60.0)
    async with asking(shop) as (app, pilot):
        assert isinstance(app.screen, Choose)
        await press(pilot, "3")
        assert isinstance(app.screen, Ask)
        await typed(pilot, "15 min ago")
        assert answer(app)
        await press(pilot, "enter")
        record = shop.bench.shop.jobs["t"].done[POUR.format("A", 2)]
        ago = shop.bench.now_s() - shop.bench.shop.timeline.at(record.done)
        assert ago == pytest.approx(900.0)


async def test_an_act_can_have_been_done_earlier(shop: Shop) -> None:
    shop.bench.do("t", cmd.Weigh(address=LAYER, net_g=128.0))
    shop.clock.tick(900.0)
    async with asking(shop, "t") as (app, pilot):
        await press(pilot, "1")
        await put(app, pilot, "tomorrow")
        await press(pilot, "enter")
        assert "“tomorrow”" in answer(app)
        await put(app, pilot, "10 min ago")
        await press(pilot, "enter")
        record = shop.bench.shop.jobs["t"].done[POUR.format("A", 2)]
        assert shop.bench.now_s() - shop.bench.shop.timeline.at(record.done) == pytest.approx(600.0)


@pytest.mark.parametrize(
    ("text", "celsius", "damp"),
    [
        ("17.5", 17.5, None),
        ("17,5 °C", 17.5, None),
        ("17.5 62", 17.5, 62.0),
        ("17,5, 62 %", 17.5, 62.0),
        ("63.5 °F 50 %", 17.5, 50.0),
    ],
)
async def test_the_air_is_read_with_or_without_its_humidity(
    shop: Shop, text: str, celsius: float, damp: float | None
) -> None:
    async with asking(shop, "a") as (app, pilot):
        await put(app, pilot, text)
        await press(pilot, "enter")
        found = air_now(shop.bench.shop.air_of("shop"), shop.bench.now_s())
        assert found is not None
        assert found.temperature_c == pytest.approx(celsius)
        assert found.humidity_pct == damp
        assert "air 17.5 °C" in shows(app)


async def test_skipping_wants_a_reason(shop: Shop) -> None:
    async with asking(shop, "x") as (app, pilot):
        await press(pilot, "enter")
        assert "reason" in answer(app)
        await typed(pilot, "no scale")
        await press(pilot, "enter")
        assert shop.bench.shop.jobs["t"].skipped == {LAYER: "no scale"}


async def test_a_measured_check_says_its_limits_and_a_fault(shop: Shop) -> None:
    where = "t/A/cover/clamp#1"
    for step in shop.bench.shop.jobs["t"].steps.values():
        if step.address not in (where, *shop.done):
            shop.bench.do("t", cmd.Skip(address=step.address, reason="a rehearsal"))
    shop.bench.do("t", cmd.Skip(address=LAYER, reason="a rehearsal"))
    shop.bench.do("t", cmd.MarkDone(address=where))
    async with asking(shop) as (app, pilot):
        assert "Bookend A: how thick is the wall? (at least 3 mm) (Bookends)" in shows(app)
        await put(app, pilot, "2.5 mm")
        await press(pilot, "enter")
        said = " ".join(shows(app).split())
        assert "wall 2.5 mm; should be at least 3 mm" in said


async def test_an_answer_outside_its_limits_is_asked_about_once_before_it_is_built_on(
    tmp_path: Path,
) -> None:
    shop = Shop(tmp_path).bookends("A/block/void#1")
    bench, wall = shop.bench, f"{shop.job}/A/block/void#1"
    bench.do(shop.job, cmd.MarkDone(address=wall))
    bench.do(shop.job, cmd.AnswerCheck(address=wall, name="wall", value=3.2, text="3.2 mm"))
    for need in bench.shop.jobs[shop.job].plan.needs:  # type: ignore[union-attr]
        bench.do(shop.job, cmd.Tick(what=need_key(need)))
    shop.until("all/mix#1")
    mix = bench.agenda().next
    assert mix is not None
    async with asking(shop) as (app, pilot):
        assert isinstance(app.screen, Choose)
        assert "3.2 mm" in shows(app)
        await press(pilot, "1")
        assert mix.address not in shop.done
        shop.clock.tick(2.0)
        await press(pilot, "space", "2")
        assert mix.address in shop.done
        assert bench.shop.jobs[shop.job].seen, "it stands on the card as OK'd"
        shop.clock.tick(2.0)
        await press(pilot, "space")
        assert not isinstance(app.screen, Choose), "it is asked about once"
    bench.close()


@pytest.mark.parametrize(
    ("typed_", "meant"), [("17.5 0.62", "62 %"), ("17.5 °F", "17.5 °C")], ids=["fraction", "scale"]
)
async def test_a_fraction_for_per_cent_and_f_for_c_are_asked_about(
    shop: Shop, typed_: str, meant: str
) -> None:
    async with asking(shop, "a") as (app, pilot):
        await put(app, pilot, typed_)
        await press(pilot, "enter")
        assert isinstance(app.screen, Choose)
        assert meant in app.screen.options[1]
        assert not shop.bench.shop.air_of("shop").readings
