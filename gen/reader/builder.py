"""What the constructs build together: instructions, line numbers, complaints."""

from __future__ import annotations

from typing import Protocol

from gen.control import Control
from gen.reader.expressions import Grammar, Scanner
from gen.reader.failure import NotUnderstood
from gen.reader.lexis import Source
from gen.reader.program import Assignment, Block, Instruction, Lowered, Word
from gen.reader.tables import once_a_control
from gen.steps import Unread

_grammar_of = once_a_control(lambda control: Grammar(control.variables))
_keywords_of = once_a_control(lambda control: tuple(control.keywords))


class Construct(Protocol):
    """One way a control directs the flow of a program."""

    def take(self, source: Source) -> bool:
        """Lowers ``source`` if it is this construct's; False: it is not. May raise :class:`NotUnderstood`."""

    def finish(self) -> None:
        """Called after the last line, to complain of what was left open."""


class Builder:
    """The program under construction."""

    def __init__(self, control: Control) -> None:
        self.control = control
        self.grammar = _grammar_of(control)
        self.lowered = Lowered(control)
        self._keywords = _keywords_of(control)

    def emit(self, instruction: Instruction) -> None:
        self.lowered.code.append(instruction)

    def here(self) -> int:
        """The place of the next instruction."""
        return len(self.lowered.code)

    def unread(self, source: Source, why: str) -> None:
        self.complain(source.line, source.text, why)

    def complain(self, line: int, text: str, why: str) -> None:
        self.lowered.unread.append(Unread(line, text[:200], why))

    def scanner(self, text: str) -> Scanner:
        return Scanner(self.grammar, text)

    def block(self, source: Source, code: str) -> Block:
        """The words and assignments of ``code``, a part of ``source``."""
        words, assignments = self._parse(self.scanner(code))
        return Block(source.line, source.text, words, assignments, source.comments, source.messages)

    def _parse(self, scanner: Scanner) -> tuple[tuple[Word, ...], tuple[Assignment, ...]]:
        words: list[Word] = []
        assignments: list[Assignment] = []
        bare = scanner.grammar.rules is not None and scanner.grammar.rules.bare_expressions
        while not scanner.done():
            keyword = next((word for word in self._keywords if scanner.take(word)), "")
            if keyword:
                words.append(Word(keyword, 0.0))
            elif scanner.sigil():
                target = scanner.register()
                if not scanner.take("="):
                    raise NotUnderstood("a variable stands here without =")
                assignments.append((target, scanner.expression() if bare else scanner.value()))
            else:
                words.append(self._word(scanner))
        return tuple(words), tuple(assignments)

    def _word(self, scanner: Scanner) -> Word:
        """A letter, or an address of several, and its value."""
        lexis = self.control.lexis
        address = next((word for word in lexis.long_addresses if scanner.take(word + "=")), "")
        letter = lexis.long_addresses[address] if address else scanner.text[scanner.at]
        if not ("A" <= letter <= "Z"):
            raise NotUnderstood(f"a letter is wanted before {scanner.rest()[:20]!r}")
        if not address:
            scanner.at += 1
        joined = bool(address) or (lexis.equals and scanner.take("="))
        begin = scanner.at
        value = scanner.expression() if joined else scanner.value()
        written = scanner.text[begin : scanner.at].lstrip("+-")
        plain = isinstance(value, float) and written.replace(".", "", 1).isdigit()
        if lexis.equals and not joined and not plain:
            raise NotUnderstood(f"what is worked out wants = between it and {letter}")
        return Word(letter, value, plain and "." not in written)
