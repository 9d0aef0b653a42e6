"""Where in a grinding program the dress goes, and what stands there already."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Sequence

from gen.base.dataclass import dataclass
from gen.base.errors import DressblockError, listed
from gen.control.model import Control
from gen.control.seal import SPLICED, MarkedBlock, blocks
from gen.host.text import HostLines
from gen.reader.lexis import lexer_of

HERE = "DRESS HERE"
COMMENT = f"comment {HERE}"
_HERE = re.compile(r"\bDRESS HERE\b(?:\s+(\d+))?", re.IGNORECASE)


@dataclass(frozen=True)
class Place:
    """Behind line ``after`` of the program ``bare``, which is the program without ``old``, what stands there now.

    ``others``: what of other dresses stands in ``bare``.
    """

    bare: HostLines
    after: int
    old: tuple[MarkedBlock, ...] = ()
    others: tuple[MarkedBlock, ...] = ()

    @property
    def altered(self) -> bool:
        """Whether what stands there was changed by hand."""
        return any(block.altered for block in self.old)

    def in_file(self, line: int) -> int:
        """The number that ``line`` of the bare program has in the program as it lies there."""
        return line if line <= self.after else line + sum(block.last - block.first + 1 for block in self.old)


def find(text: str, control: Control, number: int, after: str | None) -> Place:
    """The place for dress ``number``: behind the line numbered ``after``, at its comment, or where it stands.

    :class:`DressblockError` where there is no such place, or more than one.
    """
    lines = HostLines(text)
    old = _standing(lines, number)
    if old and "END" not in lines.line(old[-1].last).upper():
        raise DressblockError(f"the dress that begins at line {old[0].first} has no end mark; take it out by hand.")
    bare = lines.without(old[0].first, old[-1].last) if old else lines
    others = tuple(blocks(bare.bare, SPLICED))
    comments = [] if after is not None else list(_comments(bare, control))
    named = _marked(comments, number, others) if after is None else list(_numbered(bare, control, after))
    what = f"line numbered {after}" if after is not None else COMMENT
    if not named and after is None and old:
        return Place(bare, old[0].first - 1, old, others)
    if len(named) != 1:
        theirs = [(line, said) for line, said in comments if said is not None]
        raise DressblockError(_which(what, named) if named or not theirs else _of_others(number, theirs))
    place = Place(bare, named[0], old, others)
    if old and old[0].first - 1 != place.after:
        raise DressblockError(
            f"dress {number} stands already at line {old[0].first}; take it out, or put it there again."
        )
    _only_ours(others, place.after)
    return place


def _which(what: str, found: list[int]) -> str:
    if found:
        lines = [str(line) for line in dict.fromkeys(found)]
        told = lines[:8] + (["more"] if len(lines) > 8 else [])
        where = f"{'line' if len(lines) == 1 else 'lines'} {listed(told, 'and')}"
        return f"there is more than one {what}: {where}; one place is wanted."
    if what != COMMENT:
        return f"there is no {what} in this program; name one that is there, or leave out --after and write {HERE}."
    return f"there is no {what} in this program; put one where the dress belongs, or name a line with --after N120."


def _of_others(number: int, others: list[tuple[int, str]]) -> str:
    """What to do where every comment names another dress than ``number``."""
    other = others[0][1]
    theirs = listed((f"{HERE} {named} (line {line})" for line, named in others), "and")
    return (
        f"the recipe's dress is number {number}, and this program has a place for another only: {theirs}. "
        f"Name the recipe whose program is {other}, or write {HERE} {number} where this one belongs."
    )


def _standing(lines: HostLines, number: int) -> tuple[MarkedBlock, ...]:
    """The dress or call ``number`` of the program, with the way back that follows it."""
    found = [block for block in blocks(lines.bare, SPLICED) if block.number == number]
    main = [block for block in found if block.kind != "RETURN"]
    if len(main) > 1:
        raise DressblockError(
            f"dress {number} stands in this program more than once; leave one of them. To dress at several places, put "
            f"{HERE} into a subprogram of its own, and call that wherever the stick may come in."
        )
    if not main:
        return ()
    back = [block for block in found if block.kind == "RETURN" and block.first == main[0].last + 1]
    return (main[0], *back)


def _only_ours(found: Sequence[MarkedBlock], after: int) -> None:
    other = next((block for block in found if block.first == after + 1), None)
    if other is not None:
        raise DressblockError(f"dress {other.number} stands at this place; take it out first.")
    inside = next((block for block in found if block.first <= after < block.last), None)
    if inside is not None:
        raise DressblockError(f"this place lies inside the block {inside.number}; choose one outside.")


def _marked(comments: Collection[tuple[int, str | None]], number: int, others: Collection[MarkedBlock]) -> list[int]:
    """The lines of those ``comments`` that name this dress, else of those that name none and have no other behind."""
    used = {block.first - 1 for block in others}
    mine = [line for line, named in comments if named == str(number)]
    return mine or [line for line, named in comments if named is None and line not in used]


def _comments(lines: HostLines, control: Control) -> Iterator[tuple[int, str | None]]:
    """Lines with the comment, and the number it names."""
    lexer = lexer_of(control)
    for line, text in enumerate(lines.bare, 1):
        if HERE in text.upper():
            for comment in lexer.source(line, text).comments:
                if match := _HERE.search(comment):
                    yield line, match[1]


def _numbered(lines: HostLines, control: Control, after: str) -> Iterator[int]:
    wanted = re.fullmatch(r"[Nn]?(\d{1,9})", after.strip())
    if not wanted:
        raise DressblockError(f'--after reads "{after}"; the number of a line is wanted, such as N120.')
    lexer = lexer_of(control)
    for line, text in enumerate(lines.bare, 1):
        if wanted[1] in text and lexer.label(text) == int(wanted[1]):
            yield line
