"""A change of a job's plan as data: what `--json` prints of a measured void.

The shape is promised: `docs/change.schema.json` is these records' own JSON Schema, written by
`python -m benchmate.bench.weights.change_data > docs/change.schema.json`. Keys are only ever added.
"""

from __future__ import annotations

import json
import sys
from typing import Literal

import msgspec


class ChangedAmount(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """So much of a material at a step in place of so much."""

    address: str
    what: str
    old: float
    new: float
    unit: str


class PlanChange(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A void as it was measured, and all amounts that follow."""

    version: Literal[1] = 1
    job: str
    reason: Literal["measured void"]
    piece: str
    part: str
    void: str
    """Empty for a part's only void."""
    before_ml: float
    after_ml: float
    amounts: tuple[ChangedAmount, ...]
    taken: bool
    """Whether the job goes on by it; else it was only asked."""


def schema_text() -> str:
    """The schema as the docs have it."""
    (whole,), defs = msgspec.json.schema_components([PlanChange], ref_template="#/$defs/{name}")
    schema = {"$schema": "https://json-schema.org/draft/2020-12/schema", **whole, "$defs": defs}
    return json.dumps(schema, indent=2, ensure_ascii=False) + "\n"


if __name__ == "__main__":
    sys.stdout.write(schema_text())
