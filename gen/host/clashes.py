"""Variables, labels and numbers that the dress needs for itself and the grinding program uses too."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from gen.base.finding import Finding
from gen.control.model import Control
from gen.control.seal import DRESSES, blocks
from gen.host.place import Place
from gen.host.said import broken, unproven
from gen.reader.lexis import Lexer
from gen.shop.dress import Dress


def numbers_in(lines: Sequence[str], control: Control) -> frozenset[int]:
    """The line numbers of a program."""
    lexer = Lexer(control)
    found = (lexer.label(line) for line in lines if "N" in line.upper())
    return frozenset(number for number in found if number is not None)


def clashes(
    place: Place, control: Control, dress: Dress, block: Sequence[str], *, registers: bool
) -> Iterator[Finding]:
    """What the program and the ``block`` would both use. ``registers``: the block has variables to work with."""
    if registers:
        other = next(blocks(place.bare.bare, (*DRESSES, "CALL")), None)
        if other is not None:
            yield unproven(
                "host-clash",
                place.in_file(other.first),
                f"dress {other.number} stands in this program already, and one of the two would begin with what the "
                "other has written to the registers; that is not proven: put the second into a program of its own.",
            )
            return
        yield from _variables(place, control, dress)
    ours = {target for _, target in _targets(block, control)}
    for line, target in _targets(place.bare.bare, control) if ours else ():
        if target in ours:
            yield broken(
                "host-clash",
                place.in_file(line),
                f"{target} stands here, and the dress jumps to one of its own; renumber it, or give the machine file "
                "another range of registers.labels.",
            )


def _targets(lines: Sequence[str], control: Control) -> Iterator[tuple[int, str]]:
    """What a jump could lead to, by line: numbers and names of lines where there are jumps, and O words."""
    lexer, flow = Lexer(control), control.flow
    letter = "" if flow.o_words is None else flow.o_words.letter
    marks = {letter, "" if flow.jumps is None else flow.jumps.label_end[0]} - {""}
    for line, text in enumerate(lines, 1):
        if flow.jumps is not None and (label := lexer.label(text)) is not None:
            yield line, f"N{label}"
        if not any(mark in text.upper() for mark in marks):
            continue
        source = lexer.source(line, text)
        if source.name:
            yield line, f"{source.name}:"
        if letter and (found := re.match(rf"{re.escape(letter)}([0-9]+)", source.code)):
            yield line, f"{letter}{found[1]}"


def _variables(place: Place, control: Control, dress: Dress) -> Iterator[Finding]:
    table, rules = dress.machine.registers, control.variables
    if table is None or rules is None:
        return
    first, last = table.scratch
    sigil = re.escape(rules.sigil)
    named, computed = (
        re.compile(rf"(?<![A-Z]){sigil}([0-9]{{1,9}})(?![0-9])"),
        re.compile(rf"(?<![A-Z]){sigil}(?:{re.escape(rules.brackets[0])}|{sigil})"),
    )
    lexer = Lexer(control)
    for line, text in enumerate(place.bare.bare, 1):
        if rules.sigil not in text.upper():
            continue
        code = lexer.source(line, text).code
        for number in sorted({int(found) for found in named.findall(code)}):
            if first <= number <= last:
                yield broken(
                    "host-clash",
                    place.in_file(line),
                    f"{rules.sigil}{number} is used here, and the dress works with {first} to {last}; give the machine "
                    "file another range of registers.scratch.",
                )
        if computed.search(code):
            said = f"which variable this uses is worked out when it runs; the dress works with {first} to {last}."
            yield unproven("host-clash", place.in_file(line), said, "warning")
