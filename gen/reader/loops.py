"""Loops with a number: ``WHILE [..] DO m`` to ``END m``, and ``DO m`` without a condition."""

from __future__ import annotations

import re

from gen.control.tables import Loops as Rules
from gen.reader.builder import Builder
from gen.reader.failure import NotUnderstood
from gen.reader.lexis import Source
from gen.reader.nesting import Nesting


class NumberedLoops(Nesting):
    """Lowers numbered loops to jumps."""

    _unended = "the loop {0.name} has no end"

    def __init__(self, rules: Rules, builder: Builder) -> None:
        super().__init__(builder)
        self._condition = rules.condition
        self._begin = re.compile(rf"{re.escape(rules.begin)}([0-9]{{1,4}})")
        self._end = re.compile(rf"{re.escape(rules.end)}([0-9]{{1,4}})")

    def take(self, source: Source) -> bool:
        if end := self._end.fullmatch(source.code):
            number = str(int(end[1]))
            opened = self._innermost("loop", f"this ends no loop {number}", number)
            self._open.pop()
            self._go_round(opened, source)
            return True
        condition, rest = None, source.code
        if rest.startswith(self._condition):
            scanner = self._builder.scanner(rest[len(self._condition) :])
            condition, rest = scanner.value(), scanner.rest()
        begin = self._begin.fullmatch(rest)
        if begin is None:
            if condition is None:
                return False
            raise NotUnderstood(f"a numbered loop wants its number after the condition, not {rest[:20]!r}")
        number = str(int(begin[1]))
        if any(opened.name == number for opened in self._open):
            raise NotUnderstood(f"a loop {number} is open already")
        self._enter("loop", source, condition, number)
        return True
