"""Marks around a dress block, and the digest that tells whether its body was changed.

A block stands between two comments, ``BEGIN DRESS 7101 SEAL <digest>`` and
``END DRESS 7101``; a prove-out says ``PROVE-OUT`` in place of ``DRESS``, a gap
check ``GAP-CHECK``. In a
grinding program a call of the dress stands between ``CALL`` marks, and the way
back to where the program stood between ``RETURN`` marks.
Sequence numbers, line ends, spaces at the ends of a line and the comment that
tells what the block was made from do not count; everything else between the
marks does.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Collection, Iterable, Iterator
from typing import Literal

from gen.base.dataclass import dataclass
from gen.control.origin import without_origin
from gen.shop.edition import Purpose

MarkKind = Literal["DRESS", "PROVE-OUT", "GAP-CHECK", "CALL", "RETURN"]

MARKS: dict[Purpose, MarkKind] = {"dress": "DRESS", "prove-out": "PROVE-OUT", "gap-check": "GAP-CHECK"}
"""The kind of the marks around a program, by what that is for."""

DRESSES: tuple[MarkKind, ...] = tuple(MARKS.values())
"""The kinds whose body is a dress."""

SPLICED: tuple[MarkKind, ...] = (*DRESSES, "CALL", "RETURN")
"""Every kind that a grinding program may hold."""

_ANY = "|".join(SPLICED)
_SEQUENCE_NUMBER = re.compile(r"^[Nn]\d+\s*")
_BEGIN = re.compile(rf"BEGIN ({_ANY}) (\d{{1,9}}) SEAL\b *([0-9A-Z]*)", re.IGNORECASE)
_END = re.compile(rf"END ({_ANY}) (\d{{1,9}})\b", re.IGNORECASE)
_LIKE_A_MARK = re.compile(rf"(BEGIN|END) (?={_ANY})", re.IGNORECASE)

_AT_A_TIME = 1000
"""Lines."""


@dataclass(frozen=True, slots=True)
class MarkedBlock:
    """A marked block: its number, the lines of its marks (1-based), the digest stated and the body's own.

    ``stated`` is what stands where the digest belongs, whether or not it is one.
    """

    number: int
    first: int
    last: int
    stated: str
    computed: str
    kind: str = "DRESS"

    @property
    def purpose(self) -> Purpose:
        """What its marks say that it is for; a call is for a dress."""
        return next((purpose for purpose, kind in MARKS.items() if kind == self.kind), "dress")

    @property
    def altered(self) -> bool:
        return self.stated != self.computed


def begin_mark(kind: MarkKind, number: int, digest: str) -> str:
    return f"BEGIN {kind} {number} SEAL {digest}"


def end_mark(kind: MarkKind, number: int) -> str:
    return f"END {kind} {number}"


def unmarked(text: str) -> str:
    """``text`` in which nothing can be taken for a mark, such as a title that speaks of one."""
    return _LIKE_A_MARK.sub(r"\1-", text)


def digest(lines: Iterable[str]) -> str:
    """The first 16 hexadecimal digits of the SHA-256 of ``lines``, sequence numbers, line ends and origin aside."""
    bare = (line.strip(" \t\r\n") for line in without_origin(lines))
    # a number alone is the target of a jump and counts
    text = "\n".join(_SEQUENCE_NUMBER.sub("", line) or line for line in bare if line)
    return hashlib.sha256(text.encode(errors="surrogatepass")).hexdigest()[:16].upper()


def blocks(lines: list[str], kinds: Collection[str] = DRESSES) -> Iterator[MarkedBlock]:
    """The marked blocks of ``kinds`` in a program's ``lines``; one without its end mark runs to the end of the text."""
    begun: tuple[str, int, int, str] | None = None
    for index, line in _likely(lines):
        if begun is None:
            if (match := _BEGIN.search(line)) and match[1].upper() in kinds:
                begun = match[1].upper(), int(match[2]), index, match[3].upper()
        elif (match := _END.search(line)) and (match[1].upper(), int(match[2])) == begun[:2]:
            kind, number, first, stated = begun
            yield MarkedBlock(number, first + 1, index + 1, stated, digest(lines[first + 1 : index]), kind)
            begun = None
    if begun is not None:
        kind, number, first, stated = begun
        yield MarkedBlock(number, first + 1, len(lines), stated, digest(lines[first + 1 :]), kind)


def _likely(lines: list[str]) -> Iterator[tuple[int, str]]:
    """The lines near which there may be a mark, numbered from 0; most of a long program has none."""
    for at in range(0, len(lines), _AT_A_TIME):
        some = lines[at : at + _AT_A_TIME]
        together = "\n".join(some).upper()
        if "BEG" in together or "END" in together:
            yield from enumerate(some, at)
