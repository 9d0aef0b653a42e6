"""From the code of a line to words and assignments."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import NamedTuple

from gen.control.model import Control
from gen.reader.expressions import MARK_WHOLE, Code, Grammar, Scanner, whole_or_unknown
from gen.reader.failure import NotUnderstood
from gen.reader.program import Assignment
from gen.reader.sorting import Sorted, sorter_of
from gen.reader.word import Word


class Phrase(NamedTuple):
    """``sorted``: the words sorted, where that does not depend on their values."""

    words: tuple[Word, ...]
    assignments: tuple[Assignment, ...]
    sorted: Sorted | None


class Phrases:
    """The parser of one control's lines."""

    def __init__(self, control: Control) -> None:
        self.grammar = Grammar(control.variables)
        self._sorter = sorter_of(control)
        self._lexis = control.lexis
        self._keywords = tuple(control.keywords)
        lexis = control.lexis
        moving = "|".join(map(re.escape, lexis.axis_addresses)) or "(?!)"
        self._of_an_axis = re.compile(rf"({moving})\[([A-Z][A-Z0-9]*)\]=")
        self._indexed = re.compile(rf"([{lexis.indexed or '!'}])([0-9]{{1,2}})=")
        opening = re.escape(self.grammar.brackets[0])
        counted = "|".join(map(re.escape, lexis.coordinates)) or "(?!)"
        self._counted = re.compile(rf"([A-Z])=({counted}){opening}")
        self._bare = control.variables is not None and control.variables.bare_expressions

    def parsed(self, code: str) -> Phrase:
        """The words and assignments of ``code``. May raise :class:`NotUnderstood`."""
        scanner = Scanner(self.grammar, code)
        words: list[Word] = []
        assignments: list[Assignment] = []
        while not scanner.done():
            keyword = next((word for word in self._keywords if scanner.take(word)), "")
            if keyword:
                words.append(Word(keyword, 0.0))
            elif (address := self._long(scanner)) is not None:
                words.append(address)
            elif scanner.sigil():
                whole = scanner.text.startswith(MARK_WHOLE, scanner.at)
                target = scanner.register()
                if not scanner.take("="):
                    raise NotUnderstood("a variable stands here without =")
                value = scanner.expression() if self._bare else scanner.value()
                assignments.append((target, whole_or_unknown(value) if whole else value))
            elif name := scanner.of_the_control():
                if not scanner.take("="):
                    raise NotUnderstood(f"{name} stands here without =")
                assignments.append((name, scanner.expression()))
            else:
                words += self._words(scanner)
        return Phrase(tuple(words), tuple(assignments), self._sorter.beforehand(words))

    def _long(self, scanner: Scanner) -> Word | None:
        """An address of several letters that is no code, with its value; None if there is none here."""
        lexis = self._lexis
        if found := self._of_an_axis.match(scanner.text, scanner.at):
            scanner.at = found.end()
            return Word(f"{found[1]}[{found[2]}]", scanner.expression())
        if corner := next((word for word in lexis.corners if scanner.take(word)), ""):
            return Word(corner, scanner.expression() if corner.endswith("=") else scanner.value())
        if idle := next((word for word in lexis.idle_addresses if scanner.take(word + "=")), ""):
            return Word(idle, scanner.expression())
        return None

    def _words(self, scanner: Scanner) -> list[Word]:
        """A word, and what its value says of how it counts."""
        lexis = self._lexis
        if found := self._indexed.match(scanner.text, scanner.at):
            scanner.at = found.end()
            value = scanner.expression()
            if int(found[2]) == lexis.main_index:
                return [Word(found[1], value)]
            return [Word(f"{found[1]}{int(found[2])}=", value)]
        if found := self._counted.match(scanner.text, scanner.at):
            scanner.at = found.end()
            value = scanner.expression()
            if not scanner.take(scanner.grammar.brackets[1]):
                raise NotUnderstood(f"{found[2]} wants a bracket behind its value")
            return [Word(found[1], value), Word(f"{found[1]}:{lexis.coordinates[found[2]]}", 0.0)]
        return [self._word(scanner)]

    def _word(self, scanner: Scanner) -> Word:
        """A letter, or an address of several, and its value."""
        lexis = self._lexis
        address = next((word for word in lexis.long_addresses if scanner.take(word + "=")), "")
        letter = lexis.long_addresses[address] if address else scanner.text[scanner.at]
        if not ("A" <= letter <= "Z"):
            raise NotUnderstood(f"a letter is wanted before {scanner.rest()[:20]!r}")
        if not address:
            scanner.at += 1
        joined = bool(address) or (lexis.equals and scanner.take("="))
        begin = scanner.at
        value: Code = scanner.expression() if joined else scanner.value()
        written = scanner.text[begin : scanner.at].lstrip("+-")
        plain = isinstance(value, float) and written.replace(".", "", 1).isdigit()
        if lexis.equals and not joined and not plain:
            raise NotUnderstood(f"what is worked out wants = between it and {letter}")
        return Word(letter, value, plain and "." not in written)


phrases_of = lru_cache(32)(Phrases)
