"""A log as a table: the lines and cells of a CSV file, and what one cell may say."""

from __future__ import annotations

import csv
import io
import math
import re
from collections.abc import Iterator, Sequence
from datetime import datetime
from pathlib import Path

from gen.base.errors import DressblockError, listed, nearest, said

_MAX_BYTES = 8 << 20
MAX_KW = 1000.0
"""More is no spindle's power but another unit."""

_YES, _NO = ("1", "1.0", "yes", "true", "x"), ("", "0", "0.0", "no", "false")
_SEPARATORS = ",;\t"


def text_of(path: Path) -> str:
    """The text of the log at ``path``; :class:`DressblockError` unless it is plain text in UTF-8 of at most 8 MiB."""
    try:
        if path.is_dir():
            raise DressblockError("this is a folder; name the log in it.")
        with path.open("rb") as file:
            data = file.read(_MAX_BYTES + 1)
    except FileNotFoundError:
        raise DressblockError("there is no such file.") from None
    except (OSError, ValueError) as error:
        raise DressblockError(f"this file cannot be read: {getattr(error, 'strerror', None) or error}.") from None
    if len(data) > _MAX_BYTES:
        raise DressblockError("this log is larger than 8 MiB; cut out the days that matter.")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise DressblockError(f"this file is not UTF-8 (line {line}); save it as CSV in UTF-8.") from None
    if "\0" in text:
        raise DressblockError("this file holds zero bytes, so it is no plain text; save it as CSV in UTF-8.")
    return text


class Header(list[str]):
    """The cells of one line, and what separated them."""

    separator = ","


def rows_of(text: str) -> Iterator[tuple[int, Header]]:
    """The number and cells of every line that says something, the header first."""
    lines = text.splitlines(keepends=True)
    first = next((line for line in lines if line.strip() and not line.startswith("#")), "")
    separator = max(_SEPARATORS, key=first.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator)
    while True:
        try:
            cells = next(reader)
        except StopIteration:
            return
        except csv.Error as error:
            raise DressblockError(f"line {reader.line_num}: this is no readable CSV ({error}).") from None
        if any(cell.strip() for cell in cells) and not cells[0].startswith("#"):
            found = Header(cell.strip() for cell in cells)
            found.separator = separator
            yield reader.line_num, found


def column_of(header: Sequence[str], name: str, option: str) -> int:
    """Where the column ``name`` is; :class:`DressblockError` names ``option``, which tells of another name."""
    places = [at for at, cell in enumerate(header) if cell == name]
    places = places or [at for at, cell in enumerate(header) if cell.casefold() == name.casefold()]
    if len(places) > 1:
        raise DressblockError(f"{len(places)} columns are called {said(name)}; rename all but one.")
    if not places:
        near = nearest(name, header)
        hint = f" (did you mean {said(near)}?)" if near else ""
        raise DressblockError(
            f"there is no column {said(name)}{hint}; its columns are {listed(map(said, header), 'and')}. "
            f"Tell which one it is with {option} NAME."
        )
    return places[0]


def whole_number(cell: str, line: int, name: str) -> int:
    """The whole number in ``cell``; :class:`DressblockError` names its line and column."""
    found = re.fullmatch(r"([0-9]{1,12})(?:[.,]0*)?", cell)
    if found is None:
        raise DressblockError(f"line {line}: {name} is {said(cell)}; a whole number is wanted.")
    return int(found[1])


def number_in(cell: str, line: int, name: str, *, comma: bool) -> float:
    """The finite number in ``cell``; ``comma``: it may have a decimal comma."""
    text = cell.replace(",", ".") if comma and cell.count(",") == 1 and "." not in cell else cell
    try:
        value = float(text) if re.fullmatch(r"[-+0-9.eE]+", text) else math.nan
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        what = "this cell is empty" if not cell else f"read {said(cell)}"
        raise DressblockError(f"line {line}: {name}: {what}; a finite number is wanted. Mend it, or take the row out.")
    return value


def power_kw(cell: str, line: int, name: str, kw: float, *, comma: bool) -> float:
    """The power in ``cell`` in kW, ``kw`` being one unit; ``comma``: it may have a decimal comma."""
    value = number_in(cell, line, name, comma=comma) * kw
    if abs(value) > MAX_KW:
        raise DressblockError(
            f"line {line}: {name} is {said(cell)}, which would be {value:g} kW; give its unit with --unit W "
            'or --unit % --rated "5.5 kW".'
        )
    return value


def seconds(cell: str, line: int, name: str, *, comma: bool) -> float:
    """The time in ``cell``, s: a number of seconds, a clock's 8:15:30.2, or a date with a time after ISO 8601."""
    clock = re.fullmatch(r"([0-9]{1,4}):([0-5][0-9])(?::([0-5][0-9](?:[.,][0-9]*)?))?", cell)
    if clock is not None:
        return 3600 * int(clock[1]) + 60 * int(clock[2]) + float((clock[3] or "0").replace(",", "."))
    if re.fullmatch(r"[-+0-9.,eE]+", cell):
        return number_in(cell, line, name, comma=comma)
    try:
        at = datetime.fromisoformat(cell)
    except ValueError:
        raise DressblockError(
            f"line {line}: {name} is {said(cell)}; seconds, a time like 8:15:30, or a date and time like "
            "2026-03-02 08:15:30 is wanted."
        ) from None
    return (at.replace(tzinfo=None) - datetime(2000, 1, 1)).total_seconds()


def dress_count(cell: str, line: int, name: str) -> int:
    """How many dresses in a row ``cell`` says were done, 0 to 9."""
    found = re.fullmatch(r"([2-9])(?:[.,]0*)?", cell)
    if found is not None:
        return int(found[1])
    word = cell.casefold()
    if word not in _YES + _NO:
        raise DressblockError(
            f"line {line}: {name} is {said(cell)}; 1 is wanted on the first part after a dress, 2 after two dresses in "
            "a row, else 0."
        )
    return int(word in _YES)


def is_marked(cell: str, line: int, name: str) -> bool:
    """Whether ``cell`` says that something was done; empty says no."""
    word = cell.casefold()
    if word not in _YES + _NO:
        raise DressblockError(
            f"line {line}: {name} is {said(cell)}; 1 is wanted on the first part after it was done, else 0."
        )
    return word in _YES
