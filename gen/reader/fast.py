"""The fast tier: a plain G0/G1 line whose shape was seen before goes through precompiled slots.

A line's shape is what stays when digits, points, signs and blanks are taken
out: ``N10 G1 X1.5 F100`` has the shape ``NGXF``. Its letters, turned into
commas, part the line into one number each. A line that does not come apart
that way goes to the slow tier. Lines of one shape in a row are taken apart together, column by column.
"""

from __future__ import annotations

import re
from array import array
from collections.abc import Sequence
from functools import lru_cache
from string import ascii_letters
from typing import NamedTuple, TypeAlias

from gen.control.model import Control
from gen.reader.program import Columns, Slots

_Found: TypeAlias = tuple[Slots, tuple[float, ...]]

FILLING = b"0123456789.+- \t"
_COMMAS = bytes(ord(",") if chr(code) in ascii_letters else code for code in range(256))
_LONGEST_LINE = 200
_MANY_SHAPES = 500


class _Shape(NamedTuple):
    """``skip`` parts before the first value; ``by_code`` the slots for each motion code, if the shape has one."""

    skip: int
    numbered: bool
    slots: Slots
    by_code: dict[bytes, Slots] | None


class Shapes:
    """The line shapes met so far; ``filling`` is what is taken out of a line, as far as the control takes it at all."""

    def __init__(self, control: Control) -> None:
        lexis = control.lexis
        self._taken = re.compile(f"[{lexis.letters}]*")
        self._longest = min(_LONGEST_LINE, lexis.line_length)
        self.filling = bytes(code for code in FILLING if self._taken.fullmatch(chr(code)))
        self._layout = re.compile(rf"(N?)(G?)([{control.axes}]+)(F?)")
        self._pointed = control.numbers.point != "needed"
        self._scaled = control.numbers.point == "scaled"
        self._codes = {
            zero + word[1:].encode() + blank: meaning
            for meaning, word in control.groups.get("motion", {}).items()
            if meaning in ("rapid", "feed") and re.fullmatch(r"G[0-9]", word)
            for zero in (b"", b"0")
            for blank in (b"", b" ")
        }
        self._shapes: dict[bytes, _Shape | None] = {}

    def find(self, line: bytes) -> _Found | None:
        """The slots of ``line`` and the values in them, or None if the slow tier must read it."""
        shape = self._of(line.translate(None, self.filling))
        if shape is None or len(line) > self._longest:
            return None
        skip, numbered, slots, by_code = shape
        parts = line.translate(_COMMAS).split(b",")
        try:
            values = tuple(map(float, parts[skip:]))
            if by_code is not None:
                slots = by_code[parts[skip - 1]]
        except (ValueError, KeyError):
            return None
        if parts[0].strip() or (numbered and not _is_line_number(parts[1])):
            return None
        pointed = len(values) if self._scaled else len(slots.axes)
        if (slots.feed and values[-1] < 0) or (self._pointed and _lacks_point(parts[skip : skip + pointed])):
            return None
        return slots, values

    def find_all(self, letters: bytes, lines: Sequence[bytes], first: int) -> Columns | None:
        """What :meth:`find` gives for each of ``lines``, all of the shape ``letters``, from line number ``first`` on.

        None if one of them is not sure to be plain: they have to be looked at one by one.
        """
        shape = self._of(letters)
        if shape is None or max(map(len, lines)) > self._longest:
            return None
        skip, numbered, slots, by_code = shape
        parts = b",".join(lines).translate(_COMMAS).split(b",")
        width = len(letters) + 1
        if b"".join(parts[::width]).strip() or (numbered and not _are_line_numbers(parts[1::width])):
            return None
        written = [parts[at::width] for at in range(skip, width)]
        try:
            values = tuple(array("d", map(float, column)) for column in written)
            stated = None if by_code is None else list(map(by_code.__getitem__, parts[skip - 1 :: width]))
        except (ValueError, KeyError):
            return None
        if slots.feed and min(values[-1]) < 0:
            return None
        if self._pointed:
            pointed = written if self._scaled else written[: len(slots.axes)]
            if any(b"".join(column).count(b".") < len(column) and _lacks_point(column) for column in pointed):
                return None
        return Columns(first, slots, stated, values)

    def _of(self, letters: bytes) -> _Shape | None:
        if letters not in self._shapes:
            if len(self._shapes) >= _MANY_SHAPES:
                self._shapes.clear()
            self._shapes[letters] = self._shape(letters.decode(errors="replace")) if len(letters) < 20 else None
        return self._shapes[letters]

    def _shape(self, letters: str) -> _Shape | None:
        found = self._layout.fullmatch(letters.upper())
        if not found or len(set(letters.upper())) != len(letters) or not self._taken.fullmatch(letters):
            return None
        numbered, coded, axes, feed = found.groups()
        plain = Slots(None, tuple(axes), bool(feed))
        by_code = {code: plain._replace(motion=meaning) for code, meaning in self._codes.items()} if coded else None
        return _Shape(1 + len(numbered) + len(coded), bool(numbered), plain, by_code)


shapes_of = lru_cache(32)(Shapes)


def _is_line_number(part: bytes) -> bool:
    digits = part.strip()
    return digits.isdigit() and len(digits) < 10


def _are_line_numbers(parts: list[bytes]) -> bool:
    return all(map(bytes.isdigit, map(bytes.strip, parts))) and max(map(len, parts)) < 10


def _lacks_point(parts: list[bytes]) -> bool:
    """Whether a value other than 0 is written without its decimal point."""
    return any(b"." not in part and part.strip(b" \t+-0") for part in parts)
