"""Blocks that a word of their own ends: ``IF`` … ``ELSE`` … ``ENDIF``, ``WHILE``, ``FOR``, ``REPEAT``, ``LOOP``."""

from __future__ import annotations

from dataclasses import field

from gen.base.dataclass import dataclass
from gen.control.tables import KeywordBlocks
from gen.reader.builder import Builder
from gen.reader.expressions import Code, Constant, Scanner, combine, load, parts_of
from gen.reader.failure import NotUnderstood
from gen.reader.lexis import Source
from gen.reader.operators import operator
from gen.reader.program import Block, EndOfText, Jump, JumpIf


@dataclass
class _Open:
    """A block whose end has not come yet; ``counter`` is the variable of a ``FOR``."""

    word: str
    source: Source
    top: int
    leave: list[Jump | JumpIf] = field(default_factory=list)
    counter: int | str | None = None


class KeywordFlow:
    """Lowers such blocks to jumps."""

    def __init__(self, rules: KeywordBlocks, builder: Builder) -> None:
        self._rules = rules
        self._builder = builder
        self._open: list[_Open] = []

    def take(self, source: Source) -> bool:
        rules, code = self._rules, source.code
        if code == rules.otherwise:
            self._else(source)
        elif code == rules.repeat or code == rules.forever:
            self._open.append(_Open(code, source, self._builder.here()))
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

    def finish(self) -> None:
        for opened in self._open:
            self._builder.unread(opened.source, f"this {opened.word} has no end")
        if self._open:
            self._builder.emit(EndOfText(self._open[-1].source.line))
            for opened in self._open:
                self._leave(opened)

    def _conditional(self, source: Source) -> bool:
        """``IF`` or ``WHILE`` with nothing behind the condition; else a jump may stand there."""
        word = next(one for one in (self._rules.condition, self._rules.while_true) if source.code.startswith(one))
        scanner = self._scanner(source, word)
        condition = scanner.expression()
        if not scanner.done():
            return False
        leave = JumpIf(source.line, condition, when=False, text=source.text)
        self._open.append(_Open(word, source, self._builder.here(), [leave]))
        self._builder.emit(leave)
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
        if not scanner.done():
            raise NotUnderstood(f"nothing may stand behind the last value, but {scanner.rest()[:20]!r} does")
        self._set(source, register, first)
        leave = JumpIf(source.line, _compared(register, "gt", last), when=True, text=source.text)
        self._open.append(_Open(self._rules.count, source, self._builder.here(), [leave], register))
        self._builder.emit(leave)

    def _until(self, source: Source) -> None:
        scanner = self._scanner(source, self._rules.until)
        condition = scanner.expression()
        if not scanner.done():
            raise NotUnderstood(f"nothing may stand behind the condition, but {scanner.rest()[:20]!r} does")
        opened = self._pop(self._rules.repeat, self._rules.until)
        self._builder.emit(JumpIf(source.line, condition, when=False, target=opened.top, text=source.text))

    def _else(self, source: Source) -> None:
        opened = self._pop(self._rules.condition, self._rules.otherwise)
        if any(isinstance(jump, Jump) for jump in opened.leave):
            self._open.append(opened)
            raise NotUnderstood(f"the {self._rules.otherwise} of this {opened.word} has been already")
        over = Jump(source.line)
        self._builder.emit(over)
        self._leave(opened)
        self._open.append(_Open(opened.word, opened.source, opened.top, [over]))

    def _end(self, source: Source) -> None:
        rules = self._rules
        begins = {
            rules.end_condition: rules.condition,
            rules.end_while: rules.while_true,
            rules.end_count: rules.count,
            rules.end_forever: rules.forever,
        }
        opened = self._pop(begins[source.code], source.code)
        if opened.counter is not None:
            one_more = (load(opened.counter), Constant(1.0), combine(operator("add", 0.0)))
            self._set(source, opened.counter, one_more)
        if opened.word != rules.condition:
            self._builder.emit(Jump(source.line, opened.top))
        self._leave(opened)

    def _pop(self, begin: str, end: str) -> _Open:
        if not self._open or self._open[-1].word != begin:
            raise NotUnderstood(f"no {begin} is open that {end} could belong to")
        return self._open.pop()

    def _leave(self, opened: _Open) -> None:
        for jump in opened.leave:
            jump.target = self._builder.here()

    def _set(self, source: Source, register: int | str, value: Code) -> None:
        self._builder.emit(Block(source.line, source.text, assignments=((register, value),)))

    def _scanner(self, source: Source, word: str) -> Scanner:
        return self._builder.scanner(source.code[len(word) :])


def _compared(register: int | str, meaning: str, value: Code) -> Code:
    return (load(register), *parts_of(value), combine(operator(meaning, 0.0)))
