"""Blocks that a word of their own ends: ``IF`` … ``ELSE`` … ``ENDIF``, ``WHILE``, ``FOR``, ``REPEAT``, ``LOOP``."""

from __future__ import annotations

from gen.control.tables import KeywordBlocks
from gen.reader.builder import Builder
from gen.reader.expressions import Code, Scanner
from gen.reader.failure import NotUnderstood
from gen.reader.lexis import Source
from gen.reader.nesting import Nesting, Open, combined
from gen.reader.program import Block, JumpIf


class KeywordFlow(Nesting):
    """Lowers such blocks to jumps."""

    def __init__(self, rules: KeywordBlocks, builder: Builder) -> None:
        super().__init__(builder)
        self._rules = rules

    def take(self, source: Source) -> bool:
        rules, code = self._rules, source.code
        if code == rules.otherwise:
            self._branch(self._opened_by(rules.condition, code), source, code)
            self._open[-1].otherwise = True
        elif code == rules.repeat or code == rules.forever:
            self._enter(code, source)
        elif code in (rules.end_condition, rules.end_while, rules.end_count, rules.end_forever):
            self._end(source)
        elif code.startswith(rules.until):
            self._until(source)
        elif code.startswith(rules.count):
            self._for(source)
        elif code.startswith((rules.condition, rules.while_true)):
            return self._conditional(source)
        else:
            return False
        return True

    def _conditional(self, source: Source) -> bool:
        """``IF`` or ``WHILE`` with nothing behind the condition; else a jump may stand there."""
        word = next(one for one in (self._rules.condition, self._rules.while_true) if source.code.startswith(one))
        scanner = self._scanner(source, word)
        condition = scanner.expression()
        if not scanner.done():
            return False
        self._enter(word, source, condition)
        return True

    def _for(self, source: Source) -> None:
        scanner = self._scanner(source, self._rules.count)
        register = scanner.register() if scanner.sigil() else None
        if not isinstance(register, (int, str)) or not scanner.take("="):
            raise NotUnderstood(f"{self._rules.count} wants a variable and = behind it")
        first = scanner.expression()
        if not scanner.take(self._rules.up_to):
            raise NotUnderstood(f"{self._rules.count} wants {self._rules.up_to} behind its first value")
        last = scanner.expression()
        scanner.nothing("stand behind the last value")
        self._set(source, register, first)
        self._enter(self._rules.count, source, combined(register, "le", last)).counter = register

    def _until(self, source: Source) -> None:
        scanner = self._scanner(source, self._rules.until)
        condition = scanner.expression()
        scanner.nothing("stand behind the condition")
        opened = self._opened_by(self._rules.repeat, self._rules.until)
        self._open.pop()
        self._builder.emit(JumpIf(source.line, condition, when=False, target=opened.top))

    def _end(self, source: Source) -> None:
        rules = self._rules
        begins = {
            rules.end_condition: rules.condition,
            rules.end_while: rules.while_true,
            rules.end_count: rules.count,
            rules.end_forever: rules.forever,
        }
        opened = self._opened_by(begins[source.code], source.code)
        self._open.pop()
        if opened.counter is not None:
            self._set(source, opened.counter, combined(opened.counter, "add", 1.0))
        if opened.kind == rules.condition:
            self._leave(opened)
        else:
            self._go_round(opened, source)

    def _opened_by(self, begin: str, end: str) -> Open:
        return self._innermost(begin, f"no {begin} is open that {end} could belong to")

    def _set(self, source: Source, register: int | str, value: Code) -> None:
        self._builder.emit(Block(source.line, assignments=((register, value),)))

    def _scanner(self, source: Source, word: str) -> Scanner:
        return self._builder.scanner(source.code[len(word) :])
