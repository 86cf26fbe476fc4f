"""Which line a key stands on, however the file is laid out."""

import pytest

from benchmate.fields.located import located, safe
from benchmate.fields.positions import line_of, lines_of
from benchmate.fields.problem import Fault, Where, show_where
from benchmate.nearest import advice, nearest

TEXT = """\
name = "x"
makes = 2

[parts.block]
wood = "oak"
void = { shape = "slot",
         size = "1 x 2 x 3 mm" }

[parts."odd name"]
size = "1 mm"
a.b.c = 1

[[steps]]
do = "one"

[[steps.windows]]
name = "first"

[[steps.windows]]
name = "second"
opens = "1 min"

[[steps]]
do = "two"
amounts = [
  { material = "glue", amount = "1 g" },
  { material = "oil",
    amount = "2 g" },
]

[steps.check]
wall = "at least 3 mm"

[[needs]]
what = "clamp"
"""


@pytest.mark.parametrize(
    ("where", "line"),
    [
        (("name",), 1),
        (("makes",), 2),
        (("parts", "block"), 4),
        (("parts", "block", "wood"), 5),
        (("parts", "block", "void", "size"), 7),
        (("parts", "odd name", "size"), 10),
        (("parts", "odd name", "a", "b", "c"), 11),
        (("steps", 0, "do"), 14),
        (("steps", 0, "windows", 0, "name"), 17),
        (("steps", 0, "windows", 1, "opens"), 21),
        (("steps", 1, "do"), 24),
        (("steps", 1, "amounts", 1, "amount"), 28),
        (("steps", 1, "check", "wall"), 32),
        (("needs", 0, "what"), 35),
        # What isn't in the file is looked for around it.
        (("steps", 1, "hands"), 23),
        (("parts", "block", "void", "wall"), 6),
        (("nothing",), 1),
    ],
)
def test_every_key_has_its_line(where: Where, line: int) -> None:
    assert line_of(where, lines_of(TEXT)) == line


def test_places_are_counted_as_people_count() -> None:
    assert show_where(("steps", 0, "windows", 1, "opens")) == "steps[1].windows[2].opens"


def test_problems_come_in_the_order_of_the_file_each_once() -> None:
    faults = [
        Fault(("makes",), "b"),
        Fault(("name",), "a"),
        Fault(("makes",), "b", ""),
    ]
    assert [str(p) for p in located(faults, TEXT, "f")] == ["f:1: name: a", "f:2: makes: b"]


def test_what_a_file_holds_never_reaches_the_terminal_as_control() -> None:
    assert safe("a\x1b[31m\nb") == "a?[31m?b"
    assert len(safe("x" * 5000)) == 400


@pytest.mark.parametrize(
    ("name", "found"), [("glu", "glue"), ("GLUE", "glue"), ("xyzzy", None), ("", None)]
)
def test_the_nearest_name_is_found_or_none(name: str, found: str | None) -> None:
    assert nearest(name, ["glue", "oil"]) == found


def test_where_nothing_is_near_the_names_are_listed() -> None:
    assert advice("x", ["glue", "oil"]) == "write one of: glue, oil"
    assert advice("x", []) == "there is none to name here"
    assert advice("x", [f"n{i}" for i in range(12)]).endswith("and 4 more")
