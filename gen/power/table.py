"""A log as a table: the lines and cells of a CSV file, and what one cell may say."""

from __future__ import annotations

import csv
import io
import itertools
import math
import re
from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime
from pathlib import Path
from typing import NamedTuple, TypeVar

from gen.base.dataclass import dataclass
from gen.base.errors import DressblockError, listed, nearest, said
from gen.base.files import utf8_text

_MAX_BYTES = 8 << 20
MAX_KW = 1000.0
"""More is no spindle's power but another unit."""

_YES, _NO = ("1", "1.0", "yes", "true", "x"), ("", "0", "0.0", "no", "false")
_SEPARATORS = ",;\t"


def text_of(path: Path) -> str:
    """The text of the log at ``path``; :class:`DressblockError` unless it is plain text in UTF-8 of at most 8 MiB."""
    text = utf8_text(path, _MAX_BYTES, "this log is larger than 8 MiB; cut out the days that matter.", "CSV in UTF-8")
    if "\0" in text:
        raise DressblockError("this file holds zero bytes, so it is no plain text; save it as CSV in UTF-8.")
    return text


def table_of(text: str, empty: str) -> tuple[list[str], Iterator[LogRow]]:
    """The names of the columns, and every row below that says something.

    :class:`DressblockError` where the text is ``empty``, which that says, or a row has other cells than names.
    """
    lines = text.splitlines(keepends=True)
    first = next((line for line in lines if line.strip() and not line.startswith("#")), "")
    separator = max(_SEPARATORS, key=first.count)
    table = _cells(text, separator)
    _, header = next(table, (0, []))
    if not header:
        raise DressblockError(empty)

    def rows() -> Iterator[LogRow]:
        for line, cells in table:
            if len(cells) != len(header):
                raise DressblockError(f"line {line}: {len(cells)} cells under {len(header)} names of columns.")
            yield LogRow(line, header, cells, comma=separator != ",")

    return header, rows()


def _cells(text: str, separator: str) -> Iterator[tuple[int, list[str]]]:
    """The number and cells of every line that says something, the header first."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator)
    while True:
        try:
            cells = next(reader)
        except StopIteration:
            return
        except csv.Error as error:
            raise DressblockError(f"line {reader.line_num}: this is no readable CSV ({error}).") from None
        if any(cell.strip() for cell in cells) and not cells[0].startswith("#"):
            yield reader.line_num, [cell.strip() for cell in cells]


def column_of(header: Sequence[str], name: str, option: str = "") -> int:
    """Where the column ``name`` is; :class:`DressblockError` names the ``option`` that tells of another name."""
    places = [at for at, cell in enumerate(header) if cell == name]
    places = places or [at for at, cell in enumerate(header) if cell.casefold() == name.casefold()]
    if len(places) > 1:
        raise DressblockError(f"{len(places)} columns are called {said(name)}; rename all but one.")
    if not places:
        near = nearest(name, header)
        hint = f" (did you mean {said(near)}?)" if near else ""
        helps = f"Tell which one it is with {option} NAME" if option else "The first line of the file names them"
        raise DressblockError(
            f"there is no column {said(name)}{hint}; its columns are {listed(map(said, header), 'and')}. {helps}."
        )
    return places[0]


def optional_column(header: Sequence[str], name: str) -> int | None:
    """As :func:`column_of`; None where there is none of that name."""
    return column_of(header, name) if name.casefold() in (cell.casefold() for cell in header) else None


class LogRow(NamedTuple):
    """The cells of one line, each read by its place; ``comma``: numbers may have a decimal comma.

    :class:`DressblockError` names line and column of a cell that does not say what is asked for.
    """

    line: int
    header: Sequence[str]
    cells: Sequence[str]
    comma: bool

    def whole_number(self, at: int) -> int:
        found = re.fullmatch(r"([0-9]{1,12})(?:[.,]0*)?", self.cells[at])
        if found is None:
            raise self._refused(at, "a whole number is wanted.")
        return int(found[1])

    def number(self, at: int) -> float:
        """A finite number."""
        cell = self.cells[at]
        text = cell.replace(",", ".") if self.comma and cell.count(",") == 1 and "." not in cell else cell
        try:
            value = float(text) if re.fullmatch(r"[-+0-9.eE]+", text) else math.nan
        except ValueError:
            value = math.nan
        if not math.isfinite(value):
            what = "this cell is empty" if not cell else f"read {said(cell)}"
            raise DressblockError(
                f"line {self.line}: {self.header[at]}: {what}; a finite number is wanted. Mend it, or take the row out."
            )
        return value

    def power_kw(self, at: int, kw: float) -> float:
        """The power in kW, ``kw`` being one unit."""
        value = self.number(at) * kw
        if abs(value) > MAX_KW:
            raise DressblockError(
                f"line {self.line}: {self.header[at]} is {said(self.cells[at])}, which would be {value:g} kW; give its "
                'unit with --unit W or --unit % --rated "5.5 kW".'
            )
        return value

    def seconds(self, at: int) -> float:
        """The time, s: a number of seconds, a clock's 8:15:30.2, or a date with a time after ISO 8601."""
        cell = self.cells[at]
        clock = re.fullmatch(r"([0-9]{1,4}):([0-5][0-9])(?::([0-5][0-9](?:[.,][0-9]*)?))?", cell)
        if clock is not None:
            return 3600 * int(clock[1]) + 60 * int(clock[2]) + float((clock[3] or "0").replace(",", "."))
        if re.fullmatch(r"[-+0-9.,eE]+", cell):
            return self.number(at)
        try:
            when = datetime.fromisoformat(cell)
        except ValueError:
            raise self._refused(
                at, "seconds, a time like 8:15:30, or a date and time like 2026-03-02 08:15:30 is wanted."
            ) from None
        return (when.replace(tzinfo=None) - datetime(2000, 1, 1)).total_seconds()

    def dresses(self, at: int | None) -> int:
        """How many dresses in a row were done, 0 to 9; 0 without such a column."""
        many = None if at is None else re.fullmatch(r"([2-9])(?:[.,]0*)?", self.cells[at])
        return int(many[1]) if many else int(self.is_marked(at, "a dress, 2 after two dresses in a row"))

    def is_marked(self, at: int | None, after: str = "it was done") -> bool:
        """Whether something was done before this part; an empty cell says no, and so does no such column."""
        word = "" if at is None else self.cells[at].casefold()
        if at is not None and word not in _YES + _NO:
            raise self._refused(at, f"1 is wanted on the first part after {after}, else 0.")
        return word in _YES

    def _refused(self, at: int, wanted: str) -> DressblockError:
        return DressblockError(f"line {self.line}: {self.header[at]} is {said(self.cells[at])}; {wanted}")


def not_negative(powers: Sequence[tuple[int, float]]) -> None:
    """:class:`DressblockError` where most of ``powers``, kW less idle, each with its line, are below 0."""
    below = [(line, power) for line, power in powers if power < 0]
    if 2 * len(below) > len(powers):
        line, power = below[0]
        raise DressblockError(
            f"line {line}: a power of {power:g} kW, as in most rows; grinding takes power, so look at the sign of the "
            "meter and at the idle power that is taken off."
        )


@dataclass(slots=True)
class MarkedRow:
    """A row of a log of parts: the ``part`` it is of, how many ``dresses`` came before it, and whether truing did."""

    line: int
    part: int
    dresses: int
    trued: bool


AnyRow = TypeVar("AnyRow", bound=MarkedRow)


def in_parts(rows: Iterable[AnyRow]) -> Iterator[list[AnyRow]]:
    """The rows of each part: those that follow each other with its number.

    :class:`DressblockError` where a part is out of turn, or marked in a later row than its first.
    """
    before: int | None = None
    for part, group in itertools.groupby(rows, key=lambda row: row.part):
        first, *others = group
        if before is not None and part < before and not (first.dresses or first.trued):
            raise DressblockError(
                f"line {first.line}: part {part} follows part {before}; rows must be in the order of grinding, and a "
                "count may begin anew only with a dress."
            )
        for row in others:
            if (row.dresses and row.dresses != first.dresses) or (row.trued and not first.trued):
                raise DressblockError(
                    f"line {row.line}: part {part} is marked in a later row than its first; a dress in the middle of "
                    "a part cannot be judged."
                )
        yield [first, *others]
        before = part
