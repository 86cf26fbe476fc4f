"""The guide for whoever writes a procedure: its examples proofread, and it leaves nothing out."""

import re

import pytest

from benchmate.fields.model import Table, keys_of
from benchmate.procedure.cautions import CAUTIONS
from benchmate.procedure.expanding.placeholders import RECKONED
from benchmate.procedure.file.blocks import load_block
from benchmate.procedure.file.part_schema import (
    Cut,
    FileBuilt,
    FileMark,
    FileTenon,
    FitsIn,
    Gap,
    Part,
    Void,
)
from benchmate.procedure.file.schema import (
    STEP_KEYS_OF_A_USE,
    FileAmount,
    FileNeed,
    FileWindow,
    Head,
    Parameter,
    Step,
    Weigh,
)
from benchmate.procedure.finding import library, shipped_folder
from benchmate.procedure.proofread import proofread_text
from benchmate.procedure.trade.proof import DOUBTS
from benchmate.shelf import FAMILIES

GUIDE = (shipped_folder() / "README.md").read_text(encoding="utf-8")
FLAT = " ".join(GUIDE.split())
EXAMPLES = re.findall(r"```toml\n(.*?)```", GUIDE, re.DOTALL)
WORDS = set(re.findall(r"[\w-]+", GUIDE))


@pytest.mark.parametrize("text", EXAMPLES, ids=lambda t: t.split('"')[1])
def test_every_example_proofreads_clean(text: str) -> None:
    found = proofread_text(text, "guide.toml", library(), materials={}, families=FAMILIES)
    assert [str(p) for p in found] == []


OF_PARTS = (Part, Void, Cut, FileTenon, FileMark, FitsIn, Gap, FileBuilt)
OF_STEPS = (Head, Step, FileWindow, FileAmount, FileNeed, Parameter, Weigh)


@pytest.mark.parametrize("model", [*OF_PARTS, *OF_STEPS])
def test_every_key_is_in_it(model: type[Table]) -> None:
    assert [k for k in keys_of(model) if k not in WORDS] == []


def test_every_block_is_in_it_with_its_keys() -> None:
    blocks = library()
    for slug in sorted(p.stem for p in (shipped_folder() / "blocks").glob("*.toml")):
        text = blocks.text_of(slug)
        assert text is not None
        block = load_block(text, slug)
        (row,) = re.findall(rf"^\| {re.escape(block.head.name)} \|(.*)\|$", GUIDE, re.MULTILINE)
        assert set(block.parameters) <= set(re.findall(r"\w+", row))


@pytest.mark.parametrize("name", [*CAUTIONS, *STEP_KEYS_OF_A_USE])
def test_every_caution_and_key_of_a_use_is_in_it(name: str) -> None:
    assert name in FLAT


@pytest.mark.parametrize("name", RECKONED)
def test_every_reckoned_name_is_in_it(name: str) -> None:
    assert f"{{{name}}}" in FLAT


@pytest.mark.parametrize("word", DOUBTS)
def test_every_doubt_is_in_it_with_the_word_that_answers_it(word: str) -> None:
    assert f"“{word}”" in FLAT or f'"{word}"' in FLAT
