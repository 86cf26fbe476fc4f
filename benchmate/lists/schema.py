"""The JSON Schema of the lists: `python -m benchmate.lists.schema > docs/lists.schema.json`."""

from __future__ import annotations

import json
import sys

import msgspec

from benchmate.lists.records import Buying, Cutting


def schema_text() -> str:
    """The schema as the docs have it."""
    (cutting, buying), defs = msgspec.json.schema_components(
        [Cutting, Buying], ref_template="#/$defs/{name}"
    )
    whole = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Lists",
        "oneOf": [cutting, buying],
        "$defs": defs,
    }
    return json.dumps(whole, indent=2, ensure_ascii=False) + "\n"


if __name__ == "__main__":
    sys.stdout.write(schema_text())
