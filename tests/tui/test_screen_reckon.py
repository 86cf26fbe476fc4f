"""The reckoners by keys: the form answers as one types."""

from __future__ import annotations

import re
from pathlib import Path
from random import Random

import pytest

from benchmate.bench import Bench
from benchmate.bench.starting.starting import start_free
from benchmate.reckon.asking.answering import answer_with
from benchmate.reckon.asking.frame import Refused
from benchmate.reckon.asking.labels import labels_of
from benchmate.reckon.asking.registry import find, names
from benchmate.reckon.asking.render import value_text
from benchmate.settings import Settings
from benchmate.tui.pages.reckon import ReckonScreen
from benchmate.tui.pages.reckoner import ReckonerScreen
from benchmate.tui.present.pages.answer import sentence
from tests.reckon_random import random_inputs
from tests.tui.screen_help import open_bench, opened


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    return open_bench(tmp_path)


async def test_all_reckoners_are_listed_with_what_they_are_for(bench: Bench) -> None:
    async with opened(bench, ReckonScreen(), (100, 60)) as hands:
        text = hands.text("page-body")
        for name in names():
            assert name in text
            assert find(name).title in text
        await hands.press("down", "down")
        assert "metal" in hands.text("page-detail")


async def test_a_digit_opens_a_form_that_answers_as_one_types(bench: Bench) -> None:
    place = str(names().index("fill") + 1)
    async with opened(bench, ReckonScreen(), (80, 60)) as hands:
        await hands.press(place)
        assert "Still needed: void, packing, shot density" in " ".join(
            hands.text("page-detail").split()
        )
        await hands.type("100")
        await hands.press("down")
        await hands.type("60 %")
        await hands.press("down")
        await hands.type("7.8 g/cm³")
        detail = hands.text("page-detail")
    # 100 ml at a packing of 0.60 hold 60 ml of steel: 468 g, by hand.
    assert "468 g" in detail
    assert "44 g" in detail, "40 ml of resin at 1.1 g/cm³, by hand"


async def test_every_reckoners_example_is_answered_in_its_form(bench: Bench) -> None:
    async with opened(bench, ReckonScreen(), (160, 60)) as hands:
        for name in names():
            hands.front.mark(name)
            await hands.press("enter", "f3")
            assert not any(row.fault for row in hands.front.form.rows), name
            check_shown(name, " ".join(hands.text("page-detail").split()))
            await hands.press("escape")


def check_shown(name: str, text: str) -> None:
    """The example's results, and its curve where it has one, are in the text."""
    reckoner = find(name)
    labels = labels_of(reckoner)
    for key, value in answer_with(reckoner, reckoner.example).results.items():
        assert labels[key][:24] in text, name
        if isinstance(value.value, float):
            assert value_text(value) in text, name
    if reckoner.curve:
        assert f"{labels[reckoner.curve[1]]} against {labels[reckoner.curve[0]]}" in text, name
        assert "●" in text, name


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("void_ml", "abc", "abc"),
        ("void_ml", "-5", "-5"),
        ("void_ml", "12 g", "12 g"),
        ("packing_fraction", "1.4", "1.4 is not"),
        ("layers", "2.5", "not a whole number"),
        ("void_ml", "@/no/such/file", "no file"),
        ("void_ml", "9" * 300, "9"),
    ],
    ids=[
        "no number",
        "negative",
        "another unit",
        "out of range",
        "half a layer",
        "no file",
        "a pasted page",
    ],
)
async def test_what_cant_be_read_is_one_sentence_beneath_its_field(
    bench: Bench, field: str, typed: str, said: str
) -> None:
    async with opened(bench, ReckonerScreen("fill")) as hands:
        await hands.press("f3")
        hands.front.form.fill({field: typed})
        await hands.settle()
        row = hands.front.form.row(field)
        assert said in row.fault
        assert row.fault.endswith(".")
        assert row.value == typed
        assert "no answer while a field can't be read" in " ".join(
            hands.text("page-detail").split()
        )
        await hands.press("f2")
        assert "no answer to use" in hands.text("page-said")


@pytest.mark.parametrize("name", names())
def test_no_form_names_a_key_that_it_doesnt_show(name: str) -> None:
    reckoner, chance = find(name), Random(13)
    labels = labels_of(reckoner)
    assert len({labels[i.key] for i in reckoner.inputs}) == len(reckoner.inputs)
    shown = [r.key for r in (*reckoner.inputs, *reckoner.results) if "_" in r.key]
    keys = re.compile(rf"(?<![\w.\"])({'|'.join(shown) or '_'})(?![\w\"])")
    said = []
    for _ in range(60):
        try:
            said += answer_with(reckoner, random_inputs(reckoner, chance)).notes
        except Refused as refusal:
            said.append(str(refusal))
    assert said
    assert not [s for s in said if keys.search(sentence(s, labels))]


async def test_an_impossible_wish_is_refused_with_its_reason(bench: Bench) -> None:
    async with opened(bench, ReckonerScreen("target-void"), (160, 50)) as hands:
        await hands.press("f3")
        await hands.type("50 g")
        refusal = hands.front.worked.why
        assert refusal
        assert refusal in " ".join(hands.text("page-detail").split())


async def test_the_last_keys_answer_stands_though_an_earlier_one_comes_late(bench: Bench) -> None:
    async with opened(bench, ReckonerScreen("fill")) as hands:
        await hands.press("f3")
        screen = hands.front
        stale, number = screen.worked, screen._asked
        await hands.type("200")
        fresh = screen.worked
        assert fresh != stale
        screen._answered(stale, number)
        assert screen.worked is fresh


async def test_an_answer_is_kept_in_a_job_as_a_note(bench: Bench) -> None:
    job = start_free(bench, "Trial")
    async with opened(bench, ReckonerScreen("fill")) as hands:
        await hands.press("f3", "f2")
        assert "Write it into Trial as a note" in hands.text("options")
        await hands.press("1")
        assert "Noted in Trial." in hands.text("page-said")
    (note,) = bench.shop.jobs[job].notes
    assert note.event.text.startswith("Reckoned (fill) from void 100 ml, packing 0.6")
    assert "shot 451.2 g" in note.event.text


async def test_sending_to_the_terminal_says_no_more_than_it_knows(bench: Bench) -> None:
    async with opened(bench, ReckonerScreen("fill")) as hands:
        await hands.press("f3", "f2", "1")
        assert "Sent to the terminal" in hands.text("page-said")
        assert hands.app.clipboard.startswith("Reckoned (fill)")


async def test_answers_are_in_inches_and_pounds_where_those_are_set(tmp_path: Path) -> None:
    bench = open_bench(tmp_path, Settings(units="inch"))
    async with opened(bench, ReckonerScreen("fill")) as hands:
        await hands.press("f3")
        assert "fl oz" in hands.text("page-detail")
        assert " lb" in hands.text("page-detail")


async def test_the_fields_empty_again_and_a_meaning_stands_below(bench: Bench) -> None:
    async with opened(bench, ReckonerScreen("packing")) as hands:
        await hands.press("f3")
        assert hands.front.worked.answer is not None
        await hands.press("f4")
        assert "Still needed" in hands.text("page-detail")
        meaning = find("packing").inputs[0].meaning
        assert meaning[1:30] in " ".join(hands.text("page-said").split())


async def test_data_comes_from_a_file_too(bench: Bench, tmp_path: Path) -> None:
    file = tmp_path / "shape.json"
    file.write_text('{"shape": "block", "size_mm": [10, 10, 10]}')
    async with opened(bench, ReckonerScreen("solid")) as hands:
        await hands.type(f"@{file}")
        assert "1 ± 0" in hands.text("page-detail") or "1 ml" in hands.text("page-detail")


async def test_a_long_answer_is_read_on_with_the_page_keys(bench: Bench) -> None:
    async with opened(bench, ReckonerScreen("target-void")) as hands:
        await hands.press("f3")
        first = hands.text("page-detail").splitlines()[0]
        await hands.press("pagedown")
        assert hands.text("page-detail").splitlines()[0] != first
        await hands.press("pageup", "pageup")
        assert hands.text("page-detail").splitlines()[0] == first
