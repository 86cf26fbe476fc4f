"""The house's rules that import-linter can't see: it holds the rooms to their order, but says
nothing of two modules of one room that need each other, nor of clocks that come with a library."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

READS_A_CLOCK = {"now", "utcnow", "today", "now_in_system_tz", "perf_counter", "process_time"}
CLOCKS_OF_LIBRARIES = {
    "Instant",
    "ZonedDateTime",
    "OffsetDateTime",
    "PlainDateTime",
    "datetime",
    "date",
}
ROOT = Path(__file__).parents[2] / "benchmate"


def modules() -> dict[str, Path]:
    found = {}
    for path in ROOT.rglob("*.py"):
        parts = path.relative_to(ROOT.parent).with_suffix("").parts
        found[".".join(parts[:-1] if parts[-1] == "__init__" else parts)] = path
    return found


def imported(node: ast.AST, known: dict[str, Path]) -> Iterator[str]:
    """The project's modules that a tree imports, wherever in it; all but those for types only."""
    for child in ast.iter_child_nodes(node):
        if isinstance(child, ast.If) and ast.unparse(child.test) == "TYPE_CHECKING":
            continue
        if isinstance(child, ast.Import):
            yield from (a.name for a in child.names if a.name in known)
        elif isinstance(child, ast.ImportFrom) and child.module in known:
            inner = [f"{child.module}.{a.name}" for a in child.names]
            yield from (name if name in known else child.module for name in inner)
        yield from imported(child, known)


def test_no_module_needs_itself_by_way_of_others() -> None:
    known = modules()
    needs = {
        name: {n for n in imported(ast.parse(path.read_text("utf-8")), known) if n != name}
        for name, path in known.items()
    }
    assert len(needs) > 300
    try:
        list(TopologicalSorter(needs).static_order())
    except CycleError as error:
        raise AssertionError(" needs ".join(error.args[1][::-1])) from None


def clocks_read(tree: ast.AST) -> Iterator[str]:
    """Calls like `Instant.now()` or `date.today()`, by what is called."""
    for node in ast.walk(tree):
        if not isinstance(node, ast.Call) or not isinstance(node.func, ast.Attribute):
            continue
        owner = ast.unparse(node.func.value).rpartition(".")[2]
        is_clock = owner in CLOCKS_OF_LIBRARIES and node.func.attr in READS_A_CLOCK
        if is_clock or (
            (owner.endswith("loop") or "get_running_loop" in owner) and node.func.attr == "time"
        ):
            yield ast.unparse(node)


def test_only_one_module_reads_clocks() -> None:
    found = {
        name: calls
        for name, path in modules().items()
        if (calls := list(clocks_read(ast.parse(path.read_text("utf-8")))))
    }
    assert found == {}


def test_a_clock_that_is_read_would_be_found() -> None:
    tree = ast.parse("a = Instant.now()\nb = dt.date.today()\nc = bench.now()")
    assert list(clocks_read(tree)) == ["Instant.now()", "dt.date.today()"]
