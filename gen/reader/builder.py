"""What the constructs build together: instructions, line numbers, complaints."""

from __future__ import annotations

from typing import Protocol

from gen.control import Control
from gen.reader.expressions import Grammar, Scanner
from gen.reader.failure import NotUnderstood
from gen.reader.lexis import Source
from gen.reader.program import Assignment, Block, Instruction, Lowered, Word
from gen.steps import Unread


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
        self.grammar = Grammar(control.variables)
        self.lowered = Lowered(control)

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
        words, assignments = _parse(self.scanner(code), self.control.variables is not None)
        return Block(source.line, source.text, words, assignments, source.comments)


def _parse(scanner: Scanner, variables: bool) -> tuple[tuple[Word, ...], tuple[Assignment, ...]]:
    words: list[Word] = []
    assignments: list[Assignment] = []
    bare = scanner.grammar.rules is not None and scanner.grammar.rules.bare_expressions
    while not scanner.done():
        if variables and scanner.sigil():
            target = scanner.register()
            if scanner.text[scanner.at : scanner.at + 1] != "=":
                raise NotUnderstood("a variable stands here without =")
            scanner.at += 1
            assignments.append((target, scanner.expression() if bare else scanner.value()))
            continue
        letter = scanner.text[scanner.at]
        if not ("A" <= letter <= "Z"):
            raise NotUnderstood(f"a letter is wanted before {scanner.rest()[:20]!r}")
        scanner.at += 1
        begin = scanner.at
        value = scanner.value()
        pointless = isinstance(value, float) and "." not in scanner.text[begin : scanner.at]
        words.append(Word(letter, value, pointless))
    return tuple(words), tuple(assignments)
