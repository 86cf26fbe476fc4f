"""Do the tests notice a small change of the code? A sample of mutants, each run against its tests.

    python -m tests.mutants [COUNT] [--seed N] [--only PART] [--list]

A mutant is one comparison, sum, number or condition turned into another: where no test fails, a
threshold or a sign is nobody's to keep. Each runs in a process of its own, forked before the
project is imported, that compiles the changed module in place of the file's.
"""

from __future__ import annotations

import argparse
import ast
import importlib.abc
import importlib.machinery
import importlib.util
import json
import os
import random
import signal
import sys
import time
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from types import CodeType, FrameType, ModuleType

import pytest

ROOT = Path(__file__).parents[1]
U, R = "tests/unit/test_", "tests/reference/test_"
LANDING = [
    f"{U}landing_{n}.py"
    for n in (
        "adjustment",
        "kept",
        "likely",
        "outlook",
        "question",
        "two_voids",
        "verdict",
        "will_weigh",
    )
]
WEIGHTS = [
    f"{U}{n}.py"
    for n in (
        "courses",
        "verdicts",
        "questions",
        "cups",
        "identity",
        "weights_kept",
        "lessons",
        "job_flow",
    )
]
CLOCKS = [
    f"{U}{n}.py"
    for n in (
        "agenda_order",
        "airing_cold",
        "airing_damp",
        "succession",
        "timeline",
        "job_flow",
        "reminding_cold",
        "windows",
    )
]
DESCRIBED = [f"{U}reckoners.py", f"{U}reckon_docs.py"]
JOINERY = [f"{R}reckon_joinery.py", f"{U}procedure_joints.py", *DESCRIBED]
FINISH = [f"{R}reckon_finish_lathe.py", *DESCRIBED]
WOOD = [
    *(f"{R}reckon_{n}.py" for n in ("wood", "moisture", "dewpoint", "balance_path")),
    *DESCRIBED,
]
CHARTS = [
    *(f"{R}chart_{n}.py" for n in ("limits", "rules", "statistics")),
    *(f"{U}{n}.py" for n in ("charts", "charts_run_length")),
]
REMIND = [f"{U}remind_{n}.py" for n in ("due", "due_answers", "quiet", "wording", "stages")]
MATCHING: dict[str, list[str]] = {
    "benchmate/landing": [*LANDING, f"{U}landing_checkweight.py", *WEIGHTS[:3]],
    "benchmate/job/windows": CLOCKS,
    "benchmate/job/weights": [*WEIGHTS, f"{U}learning.py", *LANDING[:1]],
    "benchmate/remind/rules/stages.py": REMIND,
    "benchmate/remind/rules/due.py": REMIND,
    "benchmate/reckon/joinery": JOINERY,
    "benchmate/reckon/coats": FINISH,
    "benchmate/reckon/wood": WOOD,
    "benchmate/charts": CHARTS,
    "benchmate/reckon/weight/weighing.py": [f"{U}weighing.py", f"{R}reckon_weight.py"],
}
LONGEST_S = 240
SWAPS: dict[type[ast.AST], type[ast.AST]] = {
    ast.Lt: ast.LtE,
    ast.LtE: ast.Lt,
    ast.Gt: ast.GtE,
    ast.GtE: ast.Gt,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.In: ast.NotIn,
    ast.NotIn: ast.In,
    ast.Is: ast.IsNot,
    ast.IsNot: ast.Is,
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
    ast.And: ast.Or,
    ast.Or: ast.And,
}
NAMES = {"min": "max", "max": "min", "any": "all", "all": "any"}


@dataclass(frozen=True)
class Mutant:
    """One change: the file, which of its sites, and what it says."""

    path: str
    site: int
    line: int
    change: str


def changes_of(tree: ast.AST) -> Iterator[tuple[ast.AST, str]]:
    """Every site of a tree with the change it would bear; the change itself is `make`'s."""
    for node in ast.walk(tree):
        match node:
            case ast.Compare(ops=[op]) if type(op) in SWAPS:
                yield node, f"{ast.unparse(node)}: {type(op).__name__} → {SWAPS[type(op)].__name__}"
            case ast.BinOp(op=op) if type(op) in SWAPS and not _is_text(node):
                yield node, f"{ast.unparse(node)}: {type(op).__name__} → {SWAPS[type(op)].__name__}"
            case ast.BoolOp(op=op):
                yield node, f"{ast.unparse(node)}: {type(op).__name__} → {SWAPS[type(op)].__name__}"
            case ast.Constant(value=value) if isinstance(value, int | float):
                yield node, f"{value!r} → {_other(value)!r}"
            case ast.UnaryOp(op=ast.Not()):
                yield node, f"{ast.unparse(node)}: not left out"
            case ast.Call(func=ast.Name(id=name)) if name in NAMES:
                yield node, f"{ast.unparse(node)}: {name} → {NAMES[name]}"


def make(node: ast.AST) -> None:
    """Change a node in place."""
    match node:
        case ast.Compare(ops=[op]):
            node.ops = [SWAPS[type(op)]()]  # type: ignore[list-item]
        case ast.BinOp(op=op) | ast.BoolOp(op=op):
            node.op = SWAPS[type(op)]()  # type: ignore[assignment]
        case ast.Constant(value=value):
            node.value = _other(value)  # type: ignore[arg-type]
        case ast.UnaryOp():
            node.op, node.operand = ast.Not(), ast.UnaryOp(ast.Not(), node.operand)
        case ast.Call(func=ast.Name(id=name)):
            node.func = ast.Name(NAMES[name], ast.Load())


def _other(value: float) -> float:
    if isinstance(value, bool):
        return not value
    return value + 1 if isinstance(value, int) else value * 1.1 + (0.1 if value == 0.0 else 0.0)


def _is_text(node: ast.BinOp) -> bool:
    sides = (node.left, node.right)
    return any(isinstance(s, ast.JoinedStr | ast.List | ast.Tuple) for s in sides) or any(
        isinstance(s, ast.Constant) and isinstance(s.value, str) for s in sides
    )


def in_functions(tree: ast.Module) -> set[int]:
    """Nodes that count: in a function or a module's number, not in a type or a slice of a text."""
    skipped: set[int] = set()
    for node in ast.walk(tree):
        notes = [getattr(node, name, None) for name in ("annotation", "returns")]
        if isinstance(node, ast.FormattedValue):
            notes.append(node.format_spec)
        if isinstance(node, ast.Raise):
            notes.append(node.exc)
        if isinstance(node, ast.keyword) and node.arg == "strict":
            notes.append(node.value)  # Lists of one length zip alike either way.
        if isinstance(node, ast.Call) and any(k.arg in ("slots", "frozen") for k in node.keywords):
            notes.append(node)
        for note in notes:
            skipped |= {id(n) for n in ast.walk(note)} if note is not None else set()
    return skipped


def sites(path: str) -> list[Mutant]:
    """All mutants of a file."""
    tree = ast.parse((ROOT / path).read_text("utf-8"))
    skipped = in_functions(tree)
    found = [(n, c) for n, c in changes_of(tree) if id(n) not in skipped]
    return [Mutant(path, i, n.lineno, c) for i, (n, c) in enumerate(found)]  # type: ignore[attr-defined]


def code_of(mutant: Mutant) -> CodeType:
    """The changed module's code."""
    tree = ast.parse((ROOT / mutant.path).read_text("utf-8"))
    skipped = in_functions(tree)
    node = [n for n, _ in changes_of(tree) if id(n) not in skipped][mutant.site]
    make(node)
    return compile(ast.fix_missing_locations(tree), str(ROOT / mutant.path), "exec")


class Instead(importlib.abc.MetaPathFinder, importlib.abc.Loader):
    """Gives one module the changed code."""

    def __init__(self, mutant: Mutant) -> None:
        self.name = mutant.path.removesuffix(".py").replace("/", ".").removesuffix(".__init__")
        self.path, self.code = str(ROOT / mutant.path), code_of(mutant)

    def find_spec(
        self, name: str, path: object = None, target: object = None
    ) -> importlib.machinery.ModuleSpec | None:
        """Its own module's only."""
        if name != self.name:
            return None
        return importlib.util.spec_from_file_location(name, self.path, loader=self)

    def create_module(self, spec: importlib.machinery.ModuleSpec) -> ModuleType | None:
        """As usual."""
        return None

    def exec_module(self, module: ModuleType) -> None:
        """Run the changed code."""
        exec(self.code, module.__dict__)


class Calls:
    """A plugin that notes which functions of the mutants' files each test calls."""

    def __init__(self) -> None:
        self.tests: dict[str, set[str]] = {}
        self.failed: set[str] = set()

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """What fails as it is tells nothing of a change."""
        if report.failed:
            self.failed.add(report.nodeid)

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Iterator[None]:
        """Around one test and its fixtures."""
        seen: set[CodeType] = set()

        def note(frame: FrameType, event: str, _: object) -> None:
            if event == "call":
                seen.add(frame.f_code)

        sys.setprofile(note)
        try:
            return (yield)
        finally:
            sys.setprofile(None)
            for code in seen:
                if code.co_filename.startswith(str(ROOT / "benchmate")):
                    place = _place(code.co_filename, code.co_firstlineno)
                    self.tests.setdefault(place, set()).add(item.nodeid)


def _place(path: str, line: int) -> str:
    return f"{Path(path).relative_to(ROOT)}:{line}"


def called_by(tests: Sequence[str]) -> dict[str, set[str]]:
    """Per function (its file and first line): the tests that call it and pass as it is."""
    calls, (reads, writes) = Calls(), os.pipe()
    child = os.fork()
    if child == 0:
        os.close(reads)
        _pytest(tests, calls)
        passing = {k: sorted(v - calls.failed) for k, v in calls.tests.items()}
        with os.fdopen(writes, "w") as pipe:
            json.dump({"failed": sorted(calls.failed), **passing}, pipe)
        os._exit(0)
    os.close(writes)
    with os.fdopen(reads) as pipe:
        found = {place: set(ids) for place, ids in json.load(pipe).items()}
    os.waitpid(child, 0)
    for test in sorted(found.pop("failed")):
        print(f"left out, it fails as it is: {test}")
    return found


def _pytest(tests: Sequence[str], *plugins: object) -> bool:
    """Run tests without a word, to the first failure unless a plugin looks; whether one failed."""
    null = os.open(os.devnull, os.O_WRONLY)
    os.dup2(null, 1)
    os.dup2(null, 2)
    words = ["-q", "-p", "no:cacheprovider", "--no-header", *tests]
    return bool(pytest.main(words if plugins else ["-x", *words], plugins=plugins))


def survives(mutant: Mutant, tests: Sequence[str]) -> bool:
    """Whether no test fails; one that never ends has been noticed."""
    if not tests:
        return True
    child = os.fork()
    if child == 0:
        signal.alarm(LONGEST_S)
        sys.meta_path.insert(0, Instead(mutant))
        os._exit(_pytest(tests))
    return os.waitpid(child, 0)[1] == 0


def tests_for(mutant: Mutant, calls: dict[str, set[str]]) -> list[str]:
    """The tests that call the function that was changed; for a module's number all that call into
    the module. The nearest by name first."""
    function = ""
    for node in ast.walk(ast.parse((ROOT / mutant.path).read_text("utf-8"))):
        if isinstance(node, ast.FunctionDef) and node.lineno <= mutant.line <= node.end_lineno:
            first = min([node.lineno, *(d.lineno for d in node.decorator_list)])
            function = f"{mutant.path}:{first}"
    ids = calls.get(function) or {
        id_ for place, ids in calls.items() if place.startswith(f"{mutant.path}:") for id_ in ids
    }
    stem = Path(mutant.path).stem
    return sorted(ids, key=lambda id_: (stem not in id_.partition("::")[0], id_))


def group_of(path: str) -> list[str]:
    """The files of tests that look after a file."""
    tests = next(t for part, t in MATCHING.items() if path.startswith(part))
    return [t for t in tests if (ROOT / t).exists()]


def sample(count: int, seed: int, only: str) -> list[Mutant]:
    """A sample of all mutants, the same for the same seed."""
    files = [
        str(p.relative_to(ROOT))
        for part in MATCHING
        for p in ([ROOT / part] if part.endswith(".py") else sorted((ROOT / part).rglob("*.py")))
    ]
    every = [m for path in files for m in sites(path) if only in path]
    return random.Random(seed).sample(every, min(count, len(every)))


def main() -> None:
    """Run a sample, and print who lived."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("count", nargs="?", type=int, default=150)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--only", default="", help="a part of the files' names")
    parser.add_argument("--list", action="store_true", help="name the mutants, run none")
    wanted = parser.parse_args()
    ran, lived, begun = Counter[str](), Counter[str](), time.monotonic()
    chosen = sample(wanted.count, wanted.seed, wanted.only)
    every = sorted({test for mutant in chosen for test in group_of(mutant.path)})
    calls = {} if wanted.list else called_by(every)
    for mutant in sorted(chosen, key=lambda m: m.path):
        part = next(p for p in MATCHING if mutant.path.startswith(p))
        is_alive = wanted.list or survives(mutant, tests_for(mutant, calls))
        ran[part] += 1
        lived[part] += is_alive
        if is_alive:
            print(f"{mutant.path}:{mutant.line}: {mutant.change}", flush=True)
    for part, count in ran.items():
        print(f"{part:40} {count:4} mutants, {lived[part]:3} lived")
    total, alive = sum(ran.values()), sum(lived.values())
    took_s = time.monotonic() - begun
    print(f"{total} mutants, {alive} lived ({alive / max(1, total):.0%}); {took_s:.0f} s")


if __name__ == "__main__":
    main()
