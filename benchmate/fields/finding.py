"""What proofreading found, as data for editors and other programs.

The shape is promised: `docs/findings.schema.json` is this model's own JSON Schema, written by
`python -m benchmate.fields.finding > docs/findings.schema.json`. Keys are only ever added.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from typing import Literal

from pydantic import BaseModel, ConfigDict, Field

from benchmate.fields.problem import Problem


class Finding(BaseModel):
    """One thing that is wrong or doubtful in a file."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    file: str = Field(description="The file, as it was named.")
    line: int = Field(ge=1, description="The line, counted from 1.")
    key: str = Field(description='Where in the file: "steps[2].hands"; empty for the whole file.')
    severity: Literal["wrong", "doubt"] = Field(
        description="wrong: it can't be meant or made. doubt: real work may want it."
    )
    sentence: str = Field(description="What is wrong.")
    write: str = Field(description="What to write instead; may be empty.")
    sure: str = Field(description="Of a doubt: the word for the key `sure`; else empty.")


class Findings(BaseModel):
    """All that `--json` prints."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    version: Literal[1] = Field(description="Of this shape.")
    files: list[str] = Field(description="The files that were looked at, as they were named.")
    findings: list[Finding] = Field(description="In the order of the files and their lines.")


def findings_json(files: Sequence[str], problems: Iterable[Problem]) -> str:
    """The JSON text for these problems."""
    found = [
        Finding(
            file=p.file,
            line=p.line,
            key=p.field,
            severity="doubt" if p.is_doubt else "wrong",
            sentence=p.wrong,
            write=p.instead,
            sure=p.sure,
        )
        for p in problems
    ]
    return Findings(version=1, files=list(files), findings=found).model_dump_json(indent=2)


def schema_text() -> str:
    """The JSON Schema, as the docs have it."""
    return json.dumps(Findings.model_json_schema(), indent=2, ensure_ascii=False) + "\n"


if __name__ == "__main__":
    import sys

    sys.stdout.write(schema_text())
