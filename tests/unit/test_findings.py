"""What proofreading found as data: the documented shape, and the same things as in sentences."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from benchmate.cli.exits import Exit
from benchmate.cli.group import cli
from benchmate.fields.finding import Findings, schema_text

DOCS = Path(__file__).resolve().parents[2] / "docs"
BROKEN = Path(__file__).parent / "broken"


def run(home: Path, *words: str) -> Result:
    return CliRunner().invoke(cli, ["--home", str(home), *words])


def test_the_documented_schema_is_the_one_that_is_kept() -> None:
    assert (DOCS / "findings.schema.json").read_text(encoding="utf-8") == schema_text()


def test_the_documented_example_has_the_shape() -> None:
    page = (DOCS / "findings.md").read_text(encoding="utf-8")
    (example,) = re.findall(r"```json\n(.*?)```", page, re.DOTALL)
    found = Findings.model_validate_json(example)
    assert found.findings[0].severity == "doubt"
    described = json.loads(schema_text())["$defs"]["Finding"]
    assert set(json.loads(example)["findings"][0]) == set(described["required"])


@pytest.mark.parametrize("name", ["green-wood", "everything-at-once", "unclosed-list"])
def test_data_and_sentences_say_the_same(tmp_path: Path, name: str) -> None:
    path = str(BROKEN / f"{name}.toml")
    plain, data = (
        run(tmp_path, "procedure", "check", path),
        run(tmp_path, "procedure", "check", path, "--json"),
    )
    assert plain.exit_code == data.exit_code == Exit.FOUND
    found = Findings.model_validate_json(data.stdout)
    assert found.files == [path]
    lines = plain.stdout.splitlines()
    assert len(lines) == len(found.findings)
    for line, one in zip(lines, found.findings, strict=True):
        assert line.startswith(f"{path}:{one.line}: {one.key}")
        assert one.sentence in line
        assert one.write in line
        assert (one.severity == "doubt") == line.endswith(f'write sure = "{one.sure}"')


def test_a_clean_file_has_no_findings(tmp_path: Path) -> None:
    done = run(tmp_path, "procedure", "check", "matched-bookends", "--json")
    assert done.exit_code == Exit.OK
    assert Findings.model_validate_json(done.stdout).findings == []


def test_doubts_are_counted_apart(tmp_path: Path) -> None:
    done = run(tmp_path, "procedure", "check", str(BROKEN / "green-wood.toml"))
    assert done.stderr.strip() == "1 doubt."
