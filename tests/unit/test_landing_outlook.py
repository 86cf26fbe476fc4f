"""The last chance to change a weight, what the next weighing should read, and the curve."""

from dataclasses import replace

import pytest

from benchmate.landing.course import CourseChange, LayerCourse
from benchmate.landing.drawing import drawn
from benchmate.landing.outlook import course_plot, expected, last_chance
from benchmate.landing.will_weigh import will_weigh
from tests.unit.landing_help import GAIN_G, LEATHER, SANDING, bookend, poured


def test_the_last_layer_is_the_last_step_that_can_add() -> None:
    found = last_chance(poured(bookend(), GAIN_G))
    assert found is not None
    assert (found.stage, found.place, found.is_next) == ("layer 4", 3, False)
    assert found.sentence == ("B, layer 4: the last chance to add weight; then it only loses.")


def test_it_is_named_before_it_passes() -> None:
    found = last_chance(poured(bookend(), GAIN_G, GAIN_G, GAIN_G))
    assert found is not None
    assert found.is_next
    assert not found.takes_only


def test_where_nothing_can_be_taken_off_the_last_layer_is_final() -> None:
    rigid = replace(SANDING, adjustable=False)
    found = last_chance(bookend("B", later=(rigid, LEATHER)))
    assert found is not None
    assert found.sentence.endswith("then it stays as it is.")


def test_after_the_fill_only_taking_off_is_left() -> None:
    found = last_chance(poured(bookend(), *[GAIN_G] * 4))
    assert found is not None
    assert (found.stage, found.takes_only) == ("sanding", True)


def test_a_weight_hidden_under_the_felt_is_a_later_chance_to_add() -> None:
    lead = CourseChange("plate under the felt", 20.0, 1.0, adjustable=True)
    found = last_chance(bookend("B", later=(SANDING, lead)))
    assert found is not None
    assert found.stage == "plate under the felt"


def test_when_all_has_passed_there_is_no_chance() -> None:
    done = poured(bookend("B", later=(replace(SANDING, is_done=True), LEATHER)), *[GAIN_G] * 4)
    assert last_chance(done) is None


def test_the_next_weighing_is_foretold_with_its_doubt() -> None:
    found = expected(poured(bookend(), GAIN_G - 8.0), 1)
    assert found.whole.g == pytest.approx(420.0 + GAIN_G - 8.0 + found.gain.g, abs=0.1)
    assert found.gain.g > GAIN_G, "the low line below it left it room"
    assert 3.0 < found.gain.u_g < 9.0


def test_two_layers_ahead_is_less_sure() -> None:
    course = bookend()
    assert expected(course, 1).whole.u_g > expected(course, 0).whole.u_g


def test_what_has_passed_is_not_foretold() -> None:
    with pytest.raises(ValueError, match="layer 1 is done"):
        expected(poured(bookend(), GAIN_G), 0)


def test_the_curve_runs_from_blank_to_finish() -> None:
    course = poured(bookend(), GAIN_G - 5.0, GAIN_G)
    found = course_plot(course)
    assert found.labels == (
        "blank",
        "layer 1",
        "layer 2",
        "layer 3",
        "layer 4",
        "sanding",
        "leather",
    )
    assert found.records[:3] == (420.0, 420.0 + GAIN_G - 5.0, 420.0 + 2 * GAIN_G - 5.0)
    assert found.records[3:] == (None, None, None, None)
    assert found.kind == ("done", "done", "done", *["to come"] * 4)
    assert found.plan[-1] == pytest.approx(420.0 + 4 * GAIN_G + 2.0)
    columns = (found.plan, found.low, found.middle, found.high, found.records, found.kind)
    assert {len(column) for column in columns} == {len(found.labels)}


def test_the_band_is_narrow_where_it_was_weighed_and_widens_ahead() -> None:
    found = course_plot(poured(bookend(), GAIN_G, GAIN_G))
    widths = [high - low for low, high in zip(found.low, found.high, strict=True)]
    assert widths[2] < widths[3] < 40.0
    assert all(
        low <= mid <= high
        for low, mid, high in zip(found.low, found.middle, found.high, strict=True)
    )


def test_the_curve_ends_at_the_heading() -> None:
    course = poured(bookend(), GAIN_G - 5.0)
    assert course_plot(course).middle[-1] == pytest.approx(will_weigh(course).mass_g)


def test_the_planned_blank_starts_the_plan() -> None:
    course = replace(bookend(), blank_plan_g=430.0)
    assert course_plot(course).plan[0] == 430.0
    assert course_plot(course).middle[0] == 420.0


def test_the_plan_is_drawn_as_it_stood_at_the_start_while_the_stages_are_the_same() -> None:
    start = poured(bookend(), GAIN_G - 8.0)
    layer = start.stages[1]
    assert isinstance(layer, LayerCourse)
    changed = start.with_layers({1: replace(layer, shot_g=layer.shot_g + 9.0, by="weight")})
    assert course_plot(changed, start).plan == course_plot(start).plan
    assert course_plot(changed).plan[2] == pytest.approx(course_plot(start).plan[2] + 9.0)
    other = replace(start, stages=start.stages[1:])
    assert course_plot(changed, other).plan == course_plot(changed).plan


@pytest.mark.parametrize(("columns", "high"), [(60, 3), (11, 12)], ids=["too low", "too narrow"])
def test_where_there_is_no_room_nothing_is_drawn(columns: int, high: int) -> None:
    assert drawn(course_plot(bookend()), columns, high) is None


def test_a_light_layer_lies_below_the_plan_and_the_limits_on_both_sides_of_it() -> None:
    course = poured(bookend(tolerance_g=9.0), GAIN_G - 8.0)
    made = drawn(course_plot(replace(course, target_g=course_plot(course).plan[-1])), 60, 20)
    assert made is not None
    at = {mark: [g for g, row in made.rows if mark in row] for mark in "●○─·"}
    assert min(at["●"]) == pytest.approx(-8.0, abs=1.5), "layer 1"
    assert [round(g) for g in at["─"]] == [9, -9] or len(at["─"]) == 2
    assert 0.0 in at["·"]
    assert made.labels[:2] == ("blank", "layer 1")
    assert {len(row) for _, row in made.rows} == {made.step * len(made.labels)}
