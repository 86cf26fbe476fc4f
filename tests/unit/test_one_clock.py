"""One cure, one answer: the clock, the reckoner and the day sheet say the same, and why."""

from __future__ import annotations

import pytest

from benchmate.air.log import AirLog
from benchmate.air.readings import Reading
from benchmate.job.windows.windows import Around, Edge, edges_from
from benchmate.moment import Timeline
from benchmate.planner.waits import Waits
from benchmate.reckon import answer
from benchmate.shelf.clocks import windows_of
from benchmate.shelf.families import FAMILIES
from benchmate.shelf.material import Material
from benchmate.shelf.questions import answered, new_material

H = 3600.0
LABELLED = answered(
    new_material("slow", "slow casting epoxy"), "poured/cure/opens", "24 h at 21 °C"
)


def read_once(celsius: float, humidity_pct: float | None = None) -> Around:
    return Around(Timeline(), {"shop": AirLog([Reading(0.0, celsius, humidity_pct)])})


def opens(material: Material, around: Around, act: str, name: str) -> Edge:
    window = next(w for w in windows_of(material, act) if w.name == name)
    edge = edges_from(window, around, 0.0)[0]
    assert edge is not None
    return edge


@pytest.mark.parametrize("celsius", [18.0, 18.5, 21.0, 22.0])
@pytest.mark.parametrize(
    ("family", "act", "name"),
    [
        ("slow casting epoxy", "poured", "cure"),
        ("two-part epoxy glue", "clamped", "clamp time"),
        ("yellow wood glue", "clamped", "clamp time"),
        ("polyurethane glue", "clamped", "clamp time"),
        ("hard oil", "coated", "recoat"),
        ("clear film finish, water-borne", "coated", "hard"),
    ],
)
def test_reading_an_ordinary_shop_hardly_lengthens_a_rule_of_thumb(
    family: str, act: str, name: str, celsius: float
) -> None:
    plain = opens(FAMILIES[family], Around(), act, name)
    aired = opens(FAMILIES[family], read_once(celsius), act, name)
    assert aired.middle == pytest.approx(plain.at)
    assert plain.at <= aired.at <= 1.3 * plain.at


@pytest.mark.parametrize("celsius", [10.0, 18.5, 21.0, 25.0])
def test_no_doubt_doubles_what_is_likely(celsius: float) -> None:
    edge = opens(LABELLED, read_once(celsius), "poured", "cure")
    assert edge.middle < edge.at < 1.6 * edge.middle


@pytest.mark.parametrize("celsius", [10.0, 18.5, 21.0, 25.0])
def test_clock_and_reckoner_give_one_answer(celsius: float) -> None:
    edge = opens(LABELLED, read_once(celsius), "poured", "cure")
    found = answer("cure", {"label_time_h": "24", "label_c": "21", "shop_c": str(celsius)})
    assert edge.at == pytest.approx(found.number("careful_h") * H)
    assert edge.middle == pytest.approx(found.number("time_h") * H)


def test_the_day_sheet_waits_as_the_clock_does() -> None:
    window = next(w for w in windows_of(LABELLED, "poured") if w.name == "cure")
    edge = opens(LABELLED, read_once(18.5), "poured", "cure")
    planned = Waits(read_once(18.5), 0.0).of(window).opens
    assert planned is not None
    assert edge.at / 60 <= planned <= 1.05 * edge.at / 60


def test_colder_than_ordinary_counts_from_the_nearer_end() -> None:
    edge = opens(FAMILIES["slow casting epoxy"], read_once(15.0), "poured", "cure")
    found = answer("cure", {"label_time_h": "24", "label_c": "18", "shop_c": "15"})
    assert edge.middle == pytest.approx(found.number("time_h") * H)
