"""What the constructs build together: instructions, line numbers, complaints."""

from __future__ import annotations

from typing import Protocol

from gen.control.model import Control
from gen.plan.step import Unread
from gen.reader.expressions import Scanner
from gen.reader.lexis import Source
from gen.reader.phrases import phrases_of
from gen.reader.program import Block, Instruction, Lowered
from gen.reader.sorting import sorter_of


class Construct(Protocol):
    """One way a control directs the flow of a program."""

    def take(self, source: Source) -> bool:
        """Lowers ``source`` if it is this construct's; False: it is not. May raise :class:`NotUnderstood`."""

    def finish(self) -> None:
        """Called after the last line, to complain of what was left open; nothing, unless it says otherwise."""
        return


class Builder:
    """The program under construction."""

    def __init__(self, control: Control) -> None:
        self.control = control
        self.lowered = Lowered(control)
        self.sorter = sorter_of(control)
        self._phrases = phrases_of(control)

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
        return Scanner(self._phrases.grammar, text)

    def block(self, source: Source, code: str) -> Block:
        """The words and assignments of ``code``, a part of ``source``."""
        words, assignments, found = self._phrases.parsed(code)
        return Block(source.line, words, assignments, source.comments, source.messages, found)
