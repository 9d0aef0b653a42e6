"""Variables, labels and numbers that the dress needs for itself and the grinding program uses too."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from gen.base.finding import Finding
from gen.control.model import Control
from gen.host.place import Place
from gen.host.said import broken, unproven
from gen.reader.lexis import lexer_of
from gen.shop.dress import Dress
from gen.shop.registers import Registers


def numbers_in(lines: Sequence[str], control: Control) -> frozenset[int]:
    """The line numbers of a program."""
    lexer = lexer_of(control)
    found = (lexer.label(line) for line in lines if "N" in line.upper())
    return frozenset(number for number in found if number is not None)


def clashes(place: Place, control: Control, dress: Dress, *, registers: bool, calls: int | None) -> Iterator[Finding]:
    """What the program and the dress would both use. ``registers``: the dress has variables to work with.

    ``calls``: the number of the subprogram that is called, if one is.
    """
    if registers:
        yield from _variables(place, control, dress)
    if calls is not None and control.flow.o_words is not None:
        name = f"{control.flow.o_words.letter}{calls}"
        for line, target in _targets(place.bare.bare, control):
            if target == name:
                said = f"{name} stands here, and is the number of the dress; renumber it, or give the recipe another."
                yield broken("host-clash", place.in_file(line), said)


def free_labels(
    table: Registers, lines: Sequence[str], old: Sequence[str], block: Sequence[str], control: Control
) -> tuple[int, ...]:
    """The labels of ``table``, two for each condition, that the program ``lines`` does not have.

    First those that the dress in ``old`` had, so that it keeps them whatever stands around it. ``block``: a dress,
    which shows how labels are spelled.
    """
    first, last = table.labels
    spelled = {_spelling(target) for _, target in _targets(block, control)}

    def pairs(text: Sequence[str]) -> set[int]:
        found = (target for _, target in _targets(text, control) if _spelling(target) in spelled)
        numbers = (int(number[0]) for target in found if (number := _NUMBER.search(target)))
        return {(number - first) // 2 for number in numbers if first <= number <= last}

    had = pairs(old)
    free = sorted(set(range((last + 1 - first) // 2)) - pairs(lines), key=lambda pair: (pair not in had, pair))
    return tuple(first + 2 * pair + one for pair in free for one in (0, 1))


_NUMBER = re.compile(r"[0-9]+(?=:?$)")


def _spelling(target: str) -> str:
    return _NUMBER.sub("", target)


def _targets(lines: Sequence[str], control: Control) -> Iterator[tuple[int, str]]:
    """What a jump could lead to, by line: numbers and names of lines where there are jumps, and O words."""
    lexer, flow = lexer_of(control), control.flow
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
    lexer = lexer_of(control)
    for line, text in enumerate(place.bare.bare, 1):
        if rules.sigil not in text.upper() or any(one.first <= line <= one.last for one in place.others):
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
