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


class FoundSize(BaseModel):
    """A parameter that the plan has found by itself."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    parameter: str = Field(description="Its name in the file.")
    goal: Literal["target", "balance"] = Field(description="What it was found for.")
    value: str = Field(description='As it stands among the parameters: "36.8 mm".')
    number: float | None = Field(description="The number of the value; null for a choice.")
    unit: str = Field(description='Of the number: "mm", "%"; empty for a count or a choice.')
    u: float | None = Field(description="Standard uncertainty of the number, in its unit.")
    piece: str = Field(description="Where it was found for one piece alone; else empty.")
    reached: float = Field(description="What the plan comes to: g, or mm of the balance.")
    doubts: dict[str, float] = Field(
        description="What makes that doubtful, each a standard uncertainty in g or mm."
    )
    wall_mm: float | None = Field(description="The thinnest wall that is left.")
    other: str = Field(description="A denser shot that is free of lead; else empty.")
    other_number: float | None = Field(description="About the number that it would take.")
    sentence: str = Field(description="The same in words.")


class Findings(BaseModel):
    """All that `--json` prints."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    version: Literal[1] = Field(description="Of this shape.")
    files: list[str] = Field(description="The files that were looked at, as they were named.")
    findings: list[Finding] = Field(description="In the order of the files and their lines.")
    found: list[FoundSize] = Field(default=[], description="What was left to be found.")


def findings_json(
    files: Sequence[str], problems: Iterable[Problem], found: Iterable[FoundSize] = ()
) -> str:
    """The JSON text for these problems, and for what the plans found by themselves."""
    findings = [
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
    said = Findings(version=1, files=list(files), findings=findings, found=list(found))
    return said.model_dump_json(indent=2)


def schema_text() -> str:
    """The JSON Schema, as the docs have it."""
    return json.dumps(Findings.model_json_schema(), indent=2, ensure_ascii=False) + "\n"


if __name__ == "__main__":
    import sys

    sys.stdout.write(schema_text())
