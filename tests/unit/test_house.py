"""The house's rules that import-linter can't see: it holds the rooms to their order, but says
nothing of two modules of one room that need each other, nor of clocks that come with a library."""

from __future__ import annotations

import ast
from collections.abc import Container, Iterator
from functools import cache
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


@cache
def modules() -> dict[str, ast.Module]:
    """Every module of the project, read."""
    found = {}
    for path in ROOT.rglob("*.py"):
        parts = path.relative_to(ROOT.parent).with_suffix("").parts
        name = ".".join(parts[:-1] if parts[-1] == "__init__" else parts)
        found[name] = ast.parse(path.read_text("utf-8"))
    return found


def imported(tree: ast.AST, known: Container[str]) -> Iterator[str]:
    """The project's modules that a tree imports, wherever in it; all but those for types only."""
    waiting = [tree]
    while waiting:
        node = waiting.pop()
        if isinstance(node, ast.If) and getattr(node.test, "id", "") == "TYPE_CHECKING":
            continue
        if isinstance(node, ast.Import):
            yield from (a.name for a in node.names if a.name in known)
        elif isinstance(node, ast.ImportFrom) and node.module in known:
            inner = [f"{node.module}.{a.name}" for a in node.names]
            yield from (name if name in known else node.module for name in inner)
        elif not isinstance(node, ast.expr):
            waiting += ast.iter_child_nodes(node)


def test_no_module_needs_itself_by_way_of_others() -> None:
    known = modules()
    needs = {name: {n for n in imported(tree, known) if n != name} for name, tree in known.items()}
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
        if node.func.attr not in {*READS_A_CLOCK, "time"}:
            continue
        owner = ast.unparse(node.func.value).rpartition(".")[2]
        is_clock = owner in CLOCKS_OF_LIBRARIES and node.func.attr in READS_A_CLOCK
        if is_clock or (
            (owner.endswith("loop") or "get_running_loop" in owner) and node.func.attr == "time"
        ):
            yield ast.unparse(node)


def test_only_one_module_reads_clocks() -> None:
    found = {name: calls for name, tree in modules().items() if (calls := list(clocks_read(tree)))}
    assert found == {}


def test_a_clock_that_is_read_would_be_found() -> None:
    tree = ast.parse("a = Instant.now()\nb = dt.date.today()\nc = bench.now()")
    assert list(clocks_read(tree)) == ["Instant.now()", "dt.date.today()"]
