"""The JSON Schema of the logbook's lines: `python -m benchmate.job.events.schema > FILE`, the file
being `docs/logbook.schema.json`. One definition a line, so that what changes shows."""

from __future__ import annotations

import json
import sys

import msgspec

from benchmate.job.events import stored

LINE = {
    "seq": {"type": "integer", "description": "counts all entries"},
    "stream": {"type": "string", "description": "what it is about: job:NAME, air:shop, scales …"},
    "version": {"type": "integer", "description": "counts the entries of its stream"},
    "hash": {"type": "string", "description": "chains it to the entry before"},
    "data": {
        "type": "string",
        "contentMediaType": "application/json",
        "contentSchema": {"$ref": "#/$defs/event"},
    },
}


def schema_text() -> str:
    """The schema as the docs have it."""
    (event,), defs = msgspec.json.schema_components(
        [stored.AnyEvent], ref_template="#/$defs/{name}"
    )
    every = {"event": {"anyOf": event["anyOf"]}, **defs}
    head = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "A line of the logbook's export",
        "description": "Moments are [Unix nanoseconds, boot, nanoseconds since boot].",
        "type": "object",
        "properties": LINE,
    }
    lines = [f"{json.dumps(k)}: {json.dumps(v, ensure_ascii=False)}" for k, v in head.items()]
    inner = [f"{json.dumps(k)}: {json.dumps(v, ensure_ascii=False)}" for k, v in every.items()]
    lines.append('"$defs": {\n' + ",\n".join(inner) + "\n}")
    return "{\n" + ",\n".join(lines) + "\n}\n"


if __name__ == "__main__":
    sys.stdout.write(schema_text())
