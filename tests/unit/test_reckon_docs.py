"""The docs page of the reckoners says what the reckoners say of themselves."""

from pathlib import Path

from benchmate.reckon.asking.registry import all_of_them
from benchmate.reckon.asking.render import markdown

PAGE = Path(__file__).parents[2] / "docs" / "reckoners.md"


def test_the_page_is_what_the_program_writes() -> None:
    wanted = markdown(all_of_them())
    assert PAGE.read_text(encoding="utf-8") == wanted, (
        "write it anew: python -m benchmate.reckon.asking.render > docs/reckoners.md"
    )
