"""The known weight before a job's first weighing, and a drift that the work itself would hide."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from random import Random

import pytest

from benchmate.bench.history.records import readings
from benchmate.bench.weights.scales import check_due, check_said, check_scale, standing_caution
from benchmate.charts import of_shop
from benchmate.landing.checkweight import drifted
from benchmate.reckon.weight.weighing import Scale
from benchmate.refusal import Refused
from benchmate.settings import Settings
from benchmate.settings.model import ScaleDefaults
from tests.unit.loop_help import Worked

FINE = Scale(division_g=0.1, repeatability_g=0.1)


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[Worked]:
    worked = Worked(tmp_path)
    worked.scale(repeatability_g=0.1)
    yield worked
    worked.bench.close()


def test_the_known_weight_is_due_once_a_job(shop: Worked) -> None:
    assert check_due(shop.bench, shop.start()) == ("bench scale", None)
    check_scale(shop.bench, "bench scale", 500.0, [500.1])
    assert check_due(shop.bench, shop.state) is None
    shop.clock.tick(86400.0)
    shop.start()
    due = check_due(shop.bench, shop.state)
    assert due is not None
    assert due.nominal_g == 500.0
    assert check_said(shop.bench, due.name, due.nominal_g, " ") == "The scale was not checked."
    assert "sound" in check_said(shop.bench, due.name, due.nominal_g, "500.1; 500.0")
    assert check_due(shop.bench, shop.state) is None


def test_which_weight_is_at_hand_is_asked_the_first_time(shop: Worked) -> None:
    shop.start()
    assert check_said(shop.bench, "bench scale", None, "") == "The scale was not checked."
    with pytest.raises(Refused):
        check_said(shop.bench, "bench scale", None, "500.1")
    assert "sound" in check_said(shop.bench, "bench scale", None, "500 g = 500.1 g; 500.0")
    (check,) = shop.bench.shop.scales["bench scale"].checks
    assert check.nominal_g == 500.0
    assert check.reading_g == pytest.approx(500.05)
    assert check_due(shop.bench, shop.state) is None


def test_nothing_is_asked_where_the_settings_say_so_or_no_scale_is_described(
    tmp_path: Path,
) -> None:
    for name, settings in (("a", Settings(scale=ScaleDefaults(check=False))), ("b", Settings())):
        worked = Worked(tmp_path / name, settings)
        if name == "a":
            worked.scale(repeatability_g=0.1)
        assert check_due(worked.bench, worked.start()) is None
        worked.bench.close()


def test_a_job_that_has_a_weight_is_not_asked_any_more(shop: Worked) -> None:
    check_scale(shop.bench, "bench scale", 500.0, [500.1])
    shop.clock.tick(86400.0)
    shop.start()
    shop.do(shop.until("weigh-blanks#1"))
    assert check_due(shop.bench, shop.state) is None


def test_a_creeping_drift_is_named_with_what_it_does_to_the_pieces(shop: Worked) -> None:
    for off in (0.0, -0.1, 0.0, -0.1, 0.0, -0.1, 0.0, 0.2, 0.2, 0.2):
        shop.clock.tick(86400.0)
        check_scale(shop.bench, "bench scale", 500.0, [500.0 + off])
    said = standing_caution(shop.bench, "bench scale")
    assert "The scale drifts" in said
    assert "light" in said
    chart = of_shop(readings(shop.bench, "scale"), "g")
    assert len(chart.chart.points) == 10
    assert "the scale's own doubt" in chart.lines[0]


def test_a_sound_scale_is_seldom_said_to_drift() -> None:
    luck, rows = Random(3), 400
    called = sum(
        bool(drifted(FINE, 500.0, [round(500.0 + luck.gauss(0.0, 0.1), 1) for _ in range(12)]))
        for _ in range(rows)
    )
    assert called / rows < 0.02
