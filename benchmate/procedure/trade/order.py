"""Steps that wait for each other, and pieces that don't add up."""

from __future__ import annotations

from collections.abc import Iterator

from benchmate.fields.problem import Fault
from benchmate.plan.address import slug
from benchmate.procedure.trade.proof import Proof

LONGEST_NAME = 30


def cycles(proof: Proof) -> Iterator[Fault]:
    """Steps that wait for each other, the loop named once."""
    state: dict[str, int] = {}
    for start in proof.steps:
        loop = _loop_from(proof, start, state)
        if loop:
            names = list(dict.fromkeys(proof.of.flats[a].local for a in loop))
            wrong = "these steps wait for each other: " + " → ".join([*names, names[0]])
            first = min((proof.of.flats[a] for a in loop), key=lambda f: f.where[1])
            yield Fault(
                (*first.where, "after"), wrong, "let one of them come after an earlier step"
            )
            return


def _loop_from(proof: Proof, start: str, state: dict[str, int]) -> list[str]:
    """A loop that is reached from a step, without recursion; empty where there is none."""
    path: list[str] = []
    stack: list[tuple[str, int]] = [(start, 0)]
    while stack:
        address, place = stack.pop()
        if place == 0:
            if state.get(address) == 2:
                continue
            state[address] = 1
            path.append(address)
        after = [a for a in proof.steps[address].after if a in proof.steps]
        if place < len(after):
            stack.append((address, place + 1))
            ahead = after[place]
            if state.get(ahead) == 1:
                return path[path.index(ahead) :]
            stack.append((ahead, 0))
            continue
        state[address] = 2
        path.pop()
    return []


def pieces(proof: Proof) -> Iterator[Fault]:
    """Names and number of pieces, and a match with nothing to match."""
    head = next(iter(proof.of.sheets.values())).head
    if head.pieces and head.makes not in (1, len(head.pieces)):
        wrong = f"makes {head.makes} pieces and names {len(head.pieces)}"
        yield Fault(("pieces",), wrong, "leave makes out, or name each piece")
    for place, name in enumerate(head.pieces):
        if set(name) & set("/#:") or len(name) > LONGEST_NAME:
            wrong = f"“{name[:LONGEST_NAME]}” can't be a piece's name"
            yield Fault(("pieces", place), wrong, "keep it short, without / # and :")
    if len({slug(name) for name in head.pieces}) != len(head.pieces):
        yield Fault(("pieces",), "two pieces have one name", "name each differently")
    count = len(head.pieces) or head.makes
    if head.match is not None and count < 2:
        wrong = "one piece has nothing to match"
        yield Fault(("match",), wrong, "make at least two pieces, or leave match out")
