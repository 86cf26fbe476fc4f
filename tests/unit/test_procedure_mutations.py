"""Files that a cat walked over: whatever is in them, the answer is sentences and never a traceback.

A hundred mutations here, thousands in `tests/faults/campaigns/input.py`. What bounds the time is
the suite's own limit on a test.
"""

import random
from pathlib import Path

import msgspec
import pytest

from benchmate.fields.problem import Problem, ProcedureError
from benchmate.procedure.file.blocks import Library
from benchmate.procedure.file.reading import decode
from benchmate.procedure.finding import library, shipped_folder
from benchmate.procedure.proofread import proofread_text
from benchmate.procedure.writing.starter import starter_text
from benchmate.shelf import FAMILIES

SEEDS = [
    *(p.read_text(encoding="utf-8") for p in sorted(shipped_folder().glob("*.toml"))),
    *(p.read_text(encoding="utf-8") for p in sorted((Path(__file__).parent / "broken").glob("*"))),
    starter_text("My tray"),
    (Path(__file__).parent / "balanced_hammer.toml").read_text(encoding="utf-8"),
]
GOOD = SEEDS[:3]
VALUES = sorted(
    {
        line.partition("=")[2].strip()
        for t in SEEDS
        for line in t.split("\n")
        if "=" in line and "#" not in line and not line.rstrip().endswith(("[", "{"))
    }
)
BLOCKS = {p.stem: p.read_text(encoding="utf-8") for p in (shipped_folder() / "blocks").glob("*")}
ODD = [
    '""',
    "-1",
    "0",
    "1e400",
    "nan",
    "inf",
    "true",
    "[]",
    "{}",
    "[[1]]",
    "2026-03-14",
    '"{"',
    '"{}"',
    '"{length}"',
    '"0 mm"',
    '"-3 mm"',
    '"9e99 g"',
    '"1/0 in"',
    '"∞"',
    '"é\\u0301"',
    '"\\u001b[31m"',
    '"{piece} x {layer} mm"',
    "99999999999999999999",
    '"120 x 90 x 60 mm"',
    '"850 g ± 8 g"',
    '"45 min at 21 °C"',
    '["block", "cover"]',
    '{ way = "staged" }',
    '"shot pour"',
    '"at least 4 mm"',
    '"pot life"',
    '"block: pour"',
    "200",
    '"200"',
    '"1e-9 mm"',
    "''",
]


def mutated(text: str, rng: random.Random) -> str:
    """One to four small accidents."""
    for _ in range(rng.randint(1, 4)):
        lines = text.split("\n")
        place = rng.randrange(len(lines))
        match rng.randrange(9):
            case 0:
                del lines[place]
            case 1:
                lines.insert(place, rng.choice(lines))
            case 2:
                other = rng.randrange(len(lines))
                lines[place], lines[other] = lines[other], lines[place]
            case 3 | 4:
                key, equals, _ = lines[place].partition("=")
                lines[place] = f"{key}{equals} {rng.choice(ODD)}" if equals else lines[place]
            case 5:
                other_text = rng.choice(SEEDS).split("\n")
                start = rng.randrange(len(other_text))
                lines[place:place] = other_text[start : start + rng.randint(1, 12)]
            case 6:
                line = lines[place]
                at = rng.randrange(len(line) + 1)
                odd = chr(rng.choice([0, 9, 34, 91, 123, 0x202E, 0x1F600, 120]))
                lines[place] = line[:at] + odd + line[at + rng.randint(0, 2) :]
            case 7:
                words = lines[place].split(" ")
                rng.shuffle(words)
                lines[place] = " ".join(words)
            case _:
                lines[place] = lines[place].replace("[", "[" * rng.randint(1, 30))
        text = "\n".join(lines)
    return text


def exchanged(text: str, rng: random.Random) -> str:
    """Good syntax and wrong sense: values exchanged for others, lines left out."""
    lines = text.split("\n")
    for _ in range(rng.randint(1, 3)):
        places = [i for i, line in enumerate(lines) if "=" in line and "{ " not in line]
        place = rng.choice(places)
        key = lines[place].partition("=")[0]
        lines[place] = f"{key}= {rng.choice(ODD if rng.random() < 0.4 else VALUES)}"
        if rng.random() < 0.2:
            del lines[rng.choice(places)]
    return "\n".join(lines)


def check(seed: int) -> None:
    rng = random.Random(seed)
    change = mutated if seed % 2 else exchanged
    text = change(rng.choice(SEEDS if seed % 2 else GOOD), rng)
    blocks = library()
    if rng.random() < 0.2:
        name = rng.choice(sorted(BLOCKS))
        broken = {**BLOCKS, name: mutated(BLOCKS[name], rng)}
        blocks = Library(sorted(BLOCKS), broken.get)
    for problem in proofread_text(text, "x.toml", blocks, materials={}, families=FAMILIES):
        check_problem(problem, text, seed)


def check_problem(problem: Problem, text: str, seed: int) -> None:
    said = str(problem)
    assert said.startswith("x.toml:"), seed
    assert 1 <= problem.line <= text.count("\n") + 1, seed
    assert "Traceback" not in said
    assert "\x1b" not in said, seed
    assert len(said) < 1200, seed
    assert "\n" not in said, seed


@pytest.mark.parametrize("seed", range(0, 100, 10))
def test_a_mutated_file_is_told_what_is_wrong_with_it(seed: int) -> None:
    for one in range(seed, seed + 10):
        check(one)


@pytest.mark.parametrize("seed", range(5))
def test_random_bytes_are_refused_in_a_sentence(seed: int) -> None:
    with pytest.raises(ProcedureError, match="not UTF-8 text; save it as UTF-8"):
        decode(random.Random(seed).randbytes(400), "x.toml")


@pytest.mark.parametrize(
    "text",
    ["[" * 5000, "a = " + "[" * 3000 + "]" * 3000, "a" + ".a" * 5000 + " = 1", "", "\x00", "= = ="],
    ids=["headings", "lists", "dots", "nothing", "zero", "signs"],
)
def test_a_strange_file_is_refused_at_once(text: str) -> None:
    found = proofread_text(text, "x.toml", library(), materials={}, families=FAMILIES)
    assert found
    assert all(p.line >= 1 for p in found)


def test_problems_can_be_compared_and_stored() -> None:
    one, two = Problem("a", 1, "x", "wrong"), Problem("a", 2, "", "wrong", "right")
    assert sorted([two, one]) == [one, two]
    assert msgspec.json.encode(str(two)) == b'"a:2: wrong; right"'
