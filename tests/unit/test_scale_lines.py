"""Lines of a scale on a cable: cut whole, read by a form, steady or not, proposed from looks."""

from __future__ import annotations

import pytest

from benchmate.refusal import Refused
from benchmate.scales.lines import LONGEST, LineForm, Lines
from benchmate.scales.proposing import propose
from benchmate.scales.reading import Reading
from benchmate.scales.steady import Steady
from tests.scale_emulator import FORMS, ScaleEmulator
from tests.scale_forms import cable


def form_of(name: str) -> LineForm:
    it = cable(name)
    return LineForm(it.line, unit=it.unit, comma=it.comma, divide=it.divide)


def test_whole_lines_only_two_in_one_read_and_none_from_the_middle() -> None:
    lines = Lines()
    assert lines.feed(b"3.4 g\r\n12") == [None]
    assert lines.feed(b"8.4 g\r\n62.0 g\r\n") == ["128.4 g", "62.0 g"]
    assert lines.feed(b"1\x002\r\n\xff3\r\n62.0 g\r\n") == [None, None, "62.0 g"]
    assert lines.feed(b"1" * (LONGEST + 1) + b"\r\n" + b"2" * LONGEST + b"\r") == [None, "2" * 80]


def test_an_evil_expression_costs_its_time_limit_and_no_more() -> None:
    form = LineForm(r"(?P<weight>(\d+)+)g", unit="g")
    # Python's own expressions would need centuries for this one.
    assert form.read("1" * 70 + "x") is None
    assert LineForm(r"(?P<weight>\d+\.\d)", unit="g").read("12.5") is not None


@pytest.mark.parametrize("line", ["(", r"\d+", r"(?P<weight>\d+)"], ids=["broken", "none", "unit"])
def test_a_form_that_says_too_little_is_refused_in_a_sentence(line: str) -> None:
    with pytest.raises(Refused, match=r"\[scale\]"):
        LineForm(line)


def test_a_switched_unit_switches_the_division_too() -> None:
    found = form_of("marks").read("[S B] +  4.526  oz")
    assert found is not None
    assert found.text == "4.526 oz"
    assert found.division_g == pytest.approx(0.0283495, abs=1e-6)


def test_a_unit_left_out_while_it_moves_is_no_weight() -> None:
    assert form_of("plain").read("    128.4   ") == Reading("moving")
    assert form_of("plain").read("   ------ g ") == Reading("over") or form_of("plain").read(
        "   ------   "
    ) == Reading("over")


def test_a_framed_line_has_its_point_put_in() -> None:
    assert form_of("framed").read(" 10001284 @") == Reading("stable", "128.4 g", 128.4, 0.1)
    assert form_of("framed").read("!10001284-@") == Reading("moving", "-128.4 g", -128.4, 0.1)


def heard(*texts: str, every_s: float = 0.1, mark: str = "") -> list[str]:
    steady = Steady()
    return [
        steady.hear(Reading("stable" if mark else "", t, float(t), 0.1), 5.0 + every_s * n).state
        for n, t in enumerate(texts)
    ]


def test_steady_needs_time_as_well_as_readings() -> None:
    assert heard(*["62.0"] * 5).index("steady") == 4
    assert "steady" not in heard(*["62.0"] * 8, every_s=0.02)
    assert heard(*["62.0"] * 4, every_s=0.3)[-1] == "steady"
    assert "steady" not in heard("62.0", "62.2", "62.0", "62.2", "62.0", "62.2", mark="S")


def test_a_gap_begins_anew_and_an_old_weight_is_never_live() -> None:
    steady = Steady()
    for n in range(5):
        steady.hear(Reading("", "62.0 g", 62.0, 0.1), n / 10)
    assert steady.look(0.5).state == "steady"
    assert steady.look(2.0).state == "silent"
    assert steady.look(2.0).grams is None
    assert steady.hear(Reading("", "62.0 g", 62.0, 0.1), 3.0).state == "moving"


def looks(name: str) -> list[list[str]]:
    """Three looks at the emulator's lines, stepped without its clock: empty, on, off."""
    found = []
    with ScaleEmulator(name, rate_hz=0.001) as scale:
        lines = Lines()
        lines.feed(b"\r")
        for load in (0.0, 128.4, 0.0):
            scale._load = load
            look: list[str] = []
            for _ in range(40):
                scale._step(scale._last + 0.1)
                look += [x for x in lines.feed(scale._line()) if x is not None]
            found.append(look)
    return found


@pytest.mark.parametrize("name", [name for name in FORMS if name != "framed"])
def test_a_form_is_proposed_that_reads_what_was_shown(name: str) -> None:
    empty, on, off = looks(name)
    found = propose(empty, on, off)
    form = LineForm(found.line, unit="" if found.has_unit else "g", comma=found.comma)
    read = [r for r in map(form.read, on[-9:]) if r is not None]
    assert len(read) >= 3
    assert all(r.grams == pytest.approx(128.4, abs=0.11) for r in read)
    assert found.has_unit == (name != "bare")
    assert {r.mark for r in read} <= {"stable", ""}


def test_nothing_is_proposed_where_no_number_comes_back() -> None:
    with pytest.raises(Refused, match="goes away from empty"):
        propose(["1.0 g"] * 5, ["1.0 g"] * 5, ["1.0 g"] * 5)


def test_a_frame_without_a_point_is_left_to_the_hand() -> None:
    with pytest.raises(Refused):
        propose(*looks("framed"))
