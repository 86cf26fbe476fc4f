"""Parameter values of each piece, held to kind and limits."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from benchmate.fields.problem import Fault, ProcedureError
from benchmate.nearest import advice
from benchmate.procedure.file.document import Document
from benchmate.procedure.file.parameters import defaults_of, refusal
from benchmate.procedure.file.schema import Head, Parameter

LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


def piece_names(head: Head) -> list[str]:
    """The pieces' names: as the file says, else A, B, C …"""
    if head.pieces:
        return list(head.pieces)
    if head.makes <= len(LETTERS):
        return list(LETTERS[: head.makes])
    return [str(n) for n in range(1, head.makes + 1)]


def values_by_piece(
    document: Document, given: Mapping[str, Any], faults: list[Fault]
) -> dict[str, dict[str, Any]]:
    """Piece name to its parameter values. What is wrong with them goes into `faults`."""
    known = {**document.parameters, **{n: p for n, p in document.woods.items() if n in given}}
    for name in given:
        if name not in known:
            wrong = "this procedure has no such parameter"
            near = advice(name, [*document.parameters, *document.woods])
            faults.append(Fault(("parameters", name), wrong, near))
    shared = {n: v for n, v in given.items() if not isinstance(v, Mapping)}
    if not faults:
        _check(known, shared, faults)
    if faults:
        return {}
    try:
        pieces = piece_names(document.sheet(shared).head)
    except ProcedureError as error:
        faults.extend(Fault((), p.wrong, p.instead) for p in error.problems)
        return {}
    every = {**defaults_of(document.parameters), **shared}
    values = {piece: dict(every) for piece in pieces}
    for name, by_piece in given.items():
        if isinstance(by_piece, Mapping):
            _put_each(known, name, by_piece, values, faults)
    return values


def _put_each(
    known: Mapping[str, Parameter],
    name: str,
    by_piece: Mapping[str, Any],
    values: dict[str, dict[str, Any]],
    faults: list[Fault],
) -> None:
    where = ("parameters", name)
    if not known[name].per_piece:
        faults.append(Fault(where, "is one for all pieces", "add per_piece = true to it"))
        return
    for piece, value in by_piece.items():
        if piece not in values:
            faults.append(Fault(where, f"there is no piece “{piece}”", advice(piece, values)))
            continue
        _check(known, {name: value}, faults)
        values[piece][name] = value


def _check(known: Mapping[str, Parameter], given: Mapping[str, Any], faults: list[Fault]) -> None:
    for name, value in given.items():
        problem = refusal(known[name], value)
        if problem is not None:
            faults.append(Fault(("parameters", name), *problem))
