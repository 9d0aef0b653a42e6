"""Loops with a number: ``WHILE [..] DO m`` to ``END m``, and ``DO m`` without a condition."""

from __future__ import annotations

import re

from gen.base.dataclass import dataclass
from gen.control.tables import Loops as Rules
from gen.reader.builder import Builder
from gen.reader.expressions import Code
from gen.reader.failure import NotUnderstood
from gen.reader.lexis import Source
from gen.reader.program import EndOfText, Jump, JumpIf


@dataclass
class _Open:
    number: int
    source: Source
    top: int
    leave: JumpIf | None


class NumberedLoops:
    """Lowers numbered loops to jumps."""

    def __init__(self, rules: Rules, builder: Builder) -> None:
        self._builder = builder
        self._condition = rules.condition
        self._begin = re.compile(rf"{re.escape(rules.begin)}([0-9]{{1,4}})")
        self._end = re.compile(rf"{re.escape(rules.end)}([0-9]{{1,4}})")
        self._open: list[_Open] = []

    def take(self, source: Source) -> bool:
        end = self._end.fullmatch(source.code)
        if end:
            self._close(int(end[1]), source)
            return True
        begin = self._begin.fullmatch(source.code)
        if begin:
            self._enter(int(begin[1]), source, None)
            return True
        if not source.code.startswith(self._condition):
            return False
        scanner = self._builder.scanner(source.code[len(self._condition) :])
        condition = scanner.value()
        begin = self._begin.fullmatch(scanner.rest())
        if not begin:
            raise NotUnderstood(f"a numbered loop wants its number after the condition, not {scanner.rest()[:20]!r}")
        self._enter(int(begin[1]), source, condition)
        return True

    def finish(self) -> None:
        for opened in self._open:
            self._builder.unread(opened.source, f"the loop {opened.number} has no end")
        if self._open:
            self._builder.emit(EndOfText(self._open[-1].source.line))
            for opened in self._open:
                if opened.leave is not None:
                    opened.leave.target = self._builder.here() - 1

    def _enter(self, number: int, source: Source, condition: Code | None) -> None:
        if any(opened.number == number for opened in self._open):
            raise NotUnderstood(f"a loop {number} is open already")
        top = self._builder.here()
        leave = None if condition is None else JumpIf(source.line, condition, when=False, text=source.text)
        if leave is not None:
            self._builder.emit(leave)
        self._open.append(_Open(number, source, top, leave))

    def _close(self, number: int, source: Source) -> None:
        if not self._open or self._open[-1].number != number:
            raise NotUnderstood(f"this ends no loop {number}")
        opened = self._open.pop()
        self._builder.emit(Jump(source.line, opened.top))
        if opened.leave is not None:
            opened.leave.target = self._builder.here()
