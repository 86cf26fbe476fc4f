"""The code that `benchmate page` draws, read back from the characters on the terminal.

Source: zxing-cpp, a decoder of its own.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from click.testing import CliRunner

from benchmate.cli.group import cli

zxingcpp = pytest.importorskip("zxingcpp", reason="this machine lacks zxing-cpp")
pytest.importorskip("segno", reason="this machine lacks segno")
image = pytest.importorskip("PIL.Image", reason="this machine lacks Pillow")
HALVES = {"█": (255, 255), "▀": (255, 0), "▄": (0, 255), " ": (0, 0)}
CELLS, ROWS = 80, 24


def test_a_decoder_reads_the_link_and_the_letters_that_are_shown_beside_it(tmp_path: Path) -> None:
    (tmp_path / "settings.toml").write_text('[page]\non = true\naddress = "192.168.1.20"\n')
    done = CliRunner().invoke(cli, ["--home", str(tmp_path), "page"])
    assert done.exit_code == 0, done.output
    letters = re.search(r"type ([A-Z2-9]{4}) ([A-Z2-9]{4}) ", done.output)
    assert letters is not None
    drawn = [line for line in done.output.splitlines() if line and set(line) <= HALVES.keys()]
    assert len(drawn) < ROWS
    assert max(map(len, drawn)) < CELLS
    rows = [[HALVES[c][half] for c in line] for line in drawn for half in (0, 1)]
    wide = max(map(len, rows))
    picture = image.new("L", (wide, len(rows)), 255)
    picture.putdata([v for row in rows for v in (*row, *[255] * (wide - len(row)))])
    (found,) = zxingcpp.read_barcodes(picture.resize((wide * 8, len(rows) * 8), 0))
    assert found.text == f"http://192.168.1.20:8765/#{letters[1]}{letters[2]}"
