"""Numbers from a table in text: one column of a CSV file, with the line that is at fault named.

Lines that begin with # are comments, blank lines are skipped, the first other line names the
columns. Columns are parted by commas, or by semicolons or tabs where the first line has those.
"""

import csv
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import isfinite

from benchmate.charts.chart import ChartError
from benchmate.quantities import QuantityError, parse_number, quote

_SEPARATORS = ("\t", ";", ",")
_COMMENT = "#"


class ColumnError(ChartError):
    """A table that can't be read; `line` is the line at fault, None where it is the whole of it."""

    def __init__(self, sentence: str, line: int | None = None) -> None:
        """Keep the sentence and the line apart, so that a command can write file:line."""
        super().__init__(sentence)
        self.line = line


class NoSuchColumnError(ColumnError):
    """The table has no column of that name; `names` are those it has."""

    def __init__(self, name: str, names: Sequence[str], line: int) -> None:
        """Keep the names, from which a command may offer the nearest."""
        super().__init__(f"there is no column {quote(name)}", line)
        self.names = tuple(names)


@dataclass(slots=True)
class _Lines:
    """Lines that are no comments, counting all of them; `row` is where the present row began.

    A row may run over several lines when a quote is left open, and its first is the one at fault.
    """

    text: str
    number: int = 0
    row: int | None = None

    def __iter__(self) -> Iterator[str]:
        plain = self.text.replace("\r\n", "\n").replace("\r", "\n")
        for line in plain.removesuffix("\n").split("\n"):
            self.number += 1
            if line.strip() and not line.lstrip().startswith(_COMMENT):
                self.row = self.row or self.number
                yield f"{line}\n"


def read_column(text: str, name: str, blanks: list[int] | None = None) -> list[float]:
    """The numbers under the column `name`, top to bottom; a blank cell is nothing measured.

    The lines of blank cells go into `blanks`, so that it can be said what was left out.

    Raises ColumnError, NoSuchColumnError among them, for a table that can't be read or a cell that
    isn't a plain number.
    """
    lines = _Lines(text)
    rows = _rows(lines, _separator(text))
    header = [cell.strip() for cell in next(rows, [])]
    at = _place(header, name, lines.row or 1)
    values = []
    for row in rows:
        value = _number(row, at, len(header), lines.row or 1)
        if value is not None:
            values.append(value)
        elif blanks is not None:
            blanks.append(lines.row or 1)
    if not values:
        raise ColumnError(f"there are no values under {quote(name)}", lines.number)
    return values


def _separator(text: str) -> str:
    first = next(iter(_Lines(text)), "")
    return next((mark for mark in _SEPARATORS if mark in first), ",")


def _rows(lines: _Lines, separator: str) -> Iterator[list[str]]:
    reader = csv.reader(lines, delimiter=separator, skipinitialspace=True, strict=True)
    while True:
        lines.row = None
        try:
            row = next(reader)
        except StopIteration:
            return
        except csv.Error as error:
            raise ColumnError(f"this can't be read as a table ({error})", lines.row) from error
        yield row


def _place(header: Sequence[str], name: str, line: int) -> int:
    if not header:
        raise ColumnError("there is no table: the file is empty or holds comments only")
    if name.strip() in header:
        if header.count(name.strip()) > 1:
            raise ColumnError(f"the column {quote(name)} is there twice; rename one", line)
        return header.index(name.strip())
    if all(_as_float(cell) is not None for cell in header):
        raise ColumnError("the first line must name the columns, and here it holds numbers", line)
    raise NoSuchColumnError(name, header, line)


def _number(row: Sequence[str], at: int, width: int, line: int) -> float | None:
    if len(row) > width:
        raise ColumnError(
            f"this line has {len(row)} values for {width} columns; where numbers have a decimal "
            "comma, part the columns by semicolons",
            line,
        )
    cell = row[at].strip() if at < len(row) else ""
    value = _as_float(cell)
    if value is not None:
        return value
    if not cell:
        return None
    try:
        return parse_number(cell).value
    except QuantityError as error:
        raise ColumnError(str(error), line) from error


def _as_float(cell: str) -> float | None:
    """The cell as a plain decimal number; None for all else, and for what only Python reads."""
    if "_" in cell:
        return None
    try:
        value = float(cell)
    except ValueError:
        return None
    return value if isfinite(value) else None
