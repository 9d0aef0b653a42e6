"""Jumps to line numbers: ``GOTO n``, ``IF [..] GOTO n``, and ``IF [..] THEN #1=2``."""

from __future__ import annotations

from gen.control import Jumps as Rules
from gen.reader.builder import Builder
from gen.reader.failure import NotUnderstood
from gen.reader.lexis import Source
from gen.reader.program import GoTo, JumpIf


class NumberJumps:
    """Lowers jumps to line numbers."""

    def __init__(self, rules: Rules, builder: Builder) -> None:
        self._rules = rules
        self._builder = builder

    def take(self, source: Source) -> bool:
        code = source.code
        if code.startswith(self._rules.condition):
            scanner = self._builder.scanner(code[len(self._rules.condition) :])
            over = JumpIf(source.line, scanner.value(), when=False, text=source.text)
            self._then(source, scanner.rest(), over)
            over.target = self._builder.here()
            return True
        word = self._goto(code)
        if not word:
            return False
        self._builder.emit(self._jump(source, code[len(word) :]))
        return True

    def finish(self) -> None:
        lowered = self._builder.lowered
        for at, jump in lowered.jumps_to_labels():
            if isinstance(jump.label, float) and lowered.find_label(int(jump.label), at) is None:
                self._builder.complain(jump.line, jump.text, f"there is no line N{int(jump.label)} to jump to")

    def _then(self, source: Source, rest: str, over: JumpIf) -> None:
        word = self._goto(rest)
        if word:
            jump = self._jump(source, rest[len(word) :])
            self._builder.emit(over)
            self._builder.emit(jump)
        elif self._rules.then and rest.startswith(self._rules.then):
            block = self._builder.block(source, rest[len(self._rules.then) :])
            if block.words or not block.assignments:
                raise NotUnderstood(f"only an assignment may follow {self._rules.then}")
            self._builder.emit(over)
            self._builder.emit(block)
        else:
            raise NotUnderstood(f"a jump or an assignment is wanted after the condition, not {rest[:20]!r}")

    def _goto(self, code: str) -> str:
        return next((word for word in self._rules.goto if code.startswith(word)), "")

    def _jump(self, source: Source, label: str) -> GoTo:
        scanner = self._builder.scanner(label.removeprefix("N"))
        target = scanner.value()
        if not scanner.done():
            raise NotUnderstood(f"nothing may follow the line number of a jump, but {scanner.rest()[:20]!r} does")
        return GoTo(source.line, target, source.text)
