"""The time line's arithmetic, on plain data."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from benchmate.job.windows.windows import Edge, WindowState, WindowView
from benchmate.plan.plan import Window
from benchmate.quantities import show_duration
from benchmate.tui.present.bench.time_scale import NEAR_S, Scale, axis, scale_for
from benchmate.tui.present.bench.timeline import (
    bar,
    edge_clock,
    fit_label,
    left_words,
    role_of,
    rows,
)
from benchmate.tui.present.lines import width

HOUR, DAY = 3600.0, 86400.0


def edge(at: float, kind: str = "label") -> Edge:
    return Edge(at=at, earliest=at, latest=at, label_at=at, middle=at, kind=kind)  # type: ignore[arg-type]


def view(
    opens: float | None = None,
    full: float | None = None,
    closes: float | None = None,
    *,
    state: WindowState = "open",
    missed: str = "nothing",
    label: str = "lamp foot, clamps",
    kind: str = "label",
) -> WindowView:
    """A window whose edges are so many seconds from now (0)."""
    window = Window(
        name="w",
        address="j/A/p/s#1:w",
        label=label,
        missed=missed,  # type: ignore[arg-type]
        opens_text="clamps may come off",
        closes_text="the mix gels",
    )
    edges = [None if s is None else edge(s, kind) for s in (opens, full, closes)]
    return WindowView(window, "j", state, -60.0, 0.0, *edges)


def clock(s: float) -> str:
    return f"{int(s // 60)} min"


@pytest.mark.parametrize("seconds", [-5.0, 0.0])
def test_now_and_before_is_the_first_cell(seconds: float) -> None:
    assert Scale(50, 2 * DAY).cell(seconds) == 0


def test_the_longest_edge_is_the_last_cell() -> None:
    assert Scale(50, 2 * DAY).cell(2 * DAY) == 49


def test_the_scale_is_logarithmic_in_steps_of_five_minutes() -> None:
    scale = Scale(1001, NEAR_S * (2**10 - 1))
    for power in range(11):
        assert scale.cell(NEAR_S * (2**power - 1)) == power * 100


@given(a=st.floats(0, 30 * DAY), b=st.floats(0, 30 * DAY), cells=st.integers(4, 200))
def test_later_is_never_further_left(a: float, b: float, cells: int) -> None:
    scale = Scale(cells, 30 * DAY)
    assert (a <= b) <= (scale.cell(a) <= scale.cell(b))


def test_eight_minutes_and_two_days_both_keep_cells_of_their_own() -> None:
    scale = Scale(45, 2 * DAY)
    assert scale.cell(480) >= 3
    assert scale.cell(480) != scale.cell(360)


def test_the_scale_reaches_the_farthest_edge_of_all() -> None:
    found = scale_for([view(HOUR), view(closes=5 * DAY)], 40)
    assert found.longest_s == pytest.approx(5 * DAY * 1.02)


def test_every_mark_on_the_axis_stands_over_its_time() -> None:
    scale = Scale(120, 10 * DAY)
    text = "".join(s.text for s in axis(scale, 0)) + " "
    marks = {"10 min": 600.0, "1 h": HOUR, "1 d": DAY, "7 d": 7 * DAY}
    for name, seconds in marks.items():
        at = text.index(f" {name} ") + 1
        assert at == scale.cell(seconds) - len(name) // 2


def test_marks_on_a_short_axis_keep_a_blank_between_them() -> None:
    text = "".join(s.text for s in axis(Scale(20, 10 * DAY), 0))
    assert text.startswith("now ")
    assert cell_len(text) <= 20


@pytest.mark.parametrize(
    ("seen", "drawn"),
    [
        (view(opens=20 * 60.0, state="shut"), "├"),
        (view(opens=20 * 60.0, closes=2 * HOUR, state="shut"), "├●"),
        (view(opens=20 * 60.0, full=HOUR, state="shut"), "├┼→"),
        (view(closes=8 * 60.0, state="closing"), "├●"),
        (view(full=HOUR), "├┼→"),
    ],
    ids=["opens", "opens and closes", "opens and full", "closes", "full"],
)
def test_a_bar_marks_its_edges_in_their_order(seen: WindowView, drawn: str) -> None:
    made = bar(seen, Scale(60, 3 * HOUR), clock)
    assert "".join(c for c in made if c in "├┼●→").startswith(drawn)


def test_edges_stand_in_their_cells() -> None:
    scale = Scale(60, 3 * HOUR)
    made = bar(view(20 * 60.0, HOUR, 2 * HOUR, state="shut"), scale, clock)
    assert made.index("├") == scale.cell(20 * 60.0)
    assert made.index("┼") == scale.cell(HOUR)
    assert made.index("●") == scale.cell(2 * HOUR)
    assert set(made[: made.index("├")]) <= set("· 20min")


def test_a_shut_window_says_how_long_in_its_dots() -> None:
    made = bar(view(opens=41 * 60.0, state="shut"), Scale(60, DAY), clock)
    assert " 41 min " in made[: made.index("├")]


def test_the_time_of_a_later_close_stands_behind_it() -> None:
    made = bar(view(20 * 60.0, closes=2 * HOUR, state="shut"), Scale(60, DAY), clock)
    assert made[made.index("●") + 1 :].strip() == "120 min"


def test_a_missed_window_says_by_how_much_and_what_was_lost() -> None:
    made = bar(view(closes=-1080.0, state="missed"), Scale(60, DAY), clock)
    assert made.strip() == "missed by 18 min: the mix gels"


EDGES = st.one_of(st.none(), st.floats(-DAY, 20 * DAY))


@given(
    opens=EDGES,
    full=EDGES,
    closes=EDGES,
    cells=st.integers(4, 160),
    state=st.sampled_from(["shut", "open", "closing", "missed"]),
)
def test_a_bar_is_always_as_wide_as_its_scale(
    opens: float | None, full: float | None, closes: float | None, cells: int, state: str
) -> None:
    seen = view(opens, full, closes, state=state)  # type: ignore[arg-type]
    scale = scale_for([seen], cells)
    assert cell_len(bar(seen, scale, clock)) == scale.cells


@given(n=st.integers(0, 30), cells=st.integers(20, 200), most=st.integers(0, 40))
def test_rows_never_take_more_than_their_room(n: int, cells: int, most: int) -> None:
    seen = [view(60.0 * (i + 1), label=f"mix {i}, pot life", state="shut") for i in range(n)]
    made = rows(seen, clock, cells, most)
    assert len(made) <= most
    assert all(width(r) <= cells for r in made)


def test_windows_that_find_no_room_are_counted() -> None:
    seen = [view(60.0 * (i + 1), state="shut") for i in range(20)]
    text = "".join(s.text for s in rows(seen, clock, 80, 10)[-1])
    assert text == "  and 12 more clocks, next 9 min"


def test_soon_closing_is_counted_by_the_second() -> None:
    assert left_words(view(closes=521.0, state="closing"))[1] == "8:41 left"
    assert left_words(view(closes=1800.0, state="open"))[1] == "30 min left"


@pytest.mark.parametrize(
    ("label", "cells", "shown"),
    [
        ("mix 1, pot life", 20, "mix 1, pot life     "),
        ("bookend A, closed assembly", 22, "bookend A, closed     "),
        ("tool chest lid, wipe off", 18, "tool che…, wipe off"[:18]),
        ("a label without a comma at all", 10, "a label w…"),
    ],
)
def test_a_label_is_cut_in_its_middle(label: str, cells: int, shown: str) -> None:
    made = fit_label(label, cells)
    assert cell_len(made) == cells
    if ", wipe off" in label:
        assert made.endswith(", wipe off")
    else:
        assert made == shown


def test_an_estimate_is_marked_as_one() -> None:
    assert edge_clock(view(600.0, state="shut"), clock) == "10 min"
    assert edge_clock(view(600.0, state="shut", kind="estimate"), clock) == "~10 min"


@pytest.mark.parametrize(
    ("seen", "role", "sign"),
    [
        (view(closes=-60.0, state="missed", missed="spoils mix"), "alarm", "▲"),
        (view(closes=-60.0, state="missed", missed="extra work"), "caution", "▲"),
        (view(closes=60.0, state="closing", missed="spoils mix"), "spoil", "!"),
        (view(closes=60.0, state="closing", missed="extra work"), "caution", "!"),
        (view(opens=-60.0, state="open"), "good", "✓"),
        (view(opens=60.0, state="shut"), "dim", " "),
    ],
)
def test_urgency_has_a_sign_beside_its_colour(seen: WindowView, role: str, sign: str) -> None:
    assert role_of(seen) == role
    made = rows([seen], clock, 80, 4)[1]
    assert made[0].text[0] == sign


def test_a_long_line_says_what_it_is_open_for() -> None:
    made = bar(view(opens=-60.0, full=4 * DAY), Scale(100, 5 * DAY), clock)
    assert "clamps may come off; full strength in 4 d" in made
    assert math.isclose(made.index("├"), 0)
    assert show_duration(4 * DAY) == "4 d"
