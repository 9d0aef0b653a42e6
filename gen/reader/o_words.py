"""Structured flow led by O words: ``o100 if [..]``, ``o100 while [..]``, ``o<name> call [..]``."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import field

from gen.base.dataclass import dataclass
from gen.control.tables import OWords as Rules
from gen.reader.builder import Builder
from gen.reader.expressions import Code, Constant, combine, load
from gen.reader.failure import NotUnderstood
from gen.reader.lexis import Source
from gen.reader.operators import operator
from gen.reader.program import Call, EndOfText, Jump, JumpIf, Return, SetOwn
from gen.reader.variables import HIDDEN


@dataclass
class _Open:
    """A construct whose end has not come yet."""

    kind: str
    source: Source
    top: int = 0
    skip: Jump | JumpIf | None = None
    ends: list[Jump] = field(default_factory=list)
    rounds: list[Jump] = field(default_factory=list)
    otherwise: bool = False


class OWordFlow:
    """Lowers O words to jumps, calls and returns."""

    def __init__(self, rules: Rules, builder: Builder) -> None:
        self._builder = builder
        variables = builder.control.variables
        self._bracket, sigil = ("", "") if variables is None else (variables.brackets[0], variables.sigil)
        letter = re.escape(rules.letter)
        self._line = re.compile(rf"{letter}(<[^<>]+>|[0-9]{{1,9}})([A-Z]+)(.*)", re.DOTALL)
        self._computed = re.compile(rf"{letter}(?:{re.escape(self._bracket)}|{re.escape(sigil)})")
        self._open: dict[str, list[_Open]] = {}
        self._order: list[tuple[str, _Open]] = []
        self._used: set[tuple[str, str]] = set()
        self._inside = ""
        self._words: dict[str, Callable[[str, Source, str], None]] = {
            "SUB": self._sub,
            "ENDSUB": self._endsub,
            "CALL": self._call,
            "RETURN": self._return,
            "IF": self._if,
            "ELSEIF": self._elseif,
            "ELSE": self._else,
            "ENDIF": self._endif,
            "WHILE": self._while,
            "ENDWHILE": self._endwhile,
            "DO": self._do,
            "REPEAT": self._repeat,
            "ENDREPEAT": self._endrepeat,
            "BREAK": self._break,
            "CONTINUE": self._continue,
        }

    def take(self, source: Source) -> bool:
        found = self._line.match(source.code)
        if not found:
            if self._computed.match(source.code):
                raise NotUnderstood("an O word whose number is computed is not read")
            return False
        name, word, rest = found.groups()
        handler = self._words.get(word)
        if handler is None:
            raise NotUnderstood(f"{word} is no word of this kind")
        handler(name.strip("<>").lower(), source, rest)
        return True

    def finish(self) -> None:
        for _, opened in self._order:
            self._builder.unread(opened.source, f"this {opened.kind} has no end")
        if self._order:
            self._builder.emit(EndOfText(self._order[-1][1].source.line))

    def _expression(self, rest: str) -> Code:
        scanner = self._builder.scanner(rest)
        if not rest.startswith(self._bracket):
            raise NotUnderstood("an expression in brackets is wanted here")
        value = scanner.value()
        self._nothing(scanner.rest())
        return value

    @staticmethod
    def _nothing(rest: str) -> None:
        if rest:
            raise NotUnderstood(f"nothing may stand here, but {rest[:20]!r} does")

    def _push(self, name: str, opened: _Open) -> None:
        # within a subprogram, or outside of all of them, a number leads one construct
        if (self._inside, name) in self._used:
            self._builder.unread(opened.source, f"the O number {name} leads another construct before this one")
        self._used.add((self._inside, name))
        self._open.setdefault(name, []).append(opened)
        self._order.append((name, opened))

    def _top(self, name: str, *kinds: str) -> _Open:
        if not self._order or self._order[-1][0] != name or self._order[-1][1].kind not in kinds:
            raise NotUnderstood(f"this ends no {' or '.join(kinds)} of its number")
        return self._order[-1][1]

    def _pop(self, name: str, *kinds: str) -> _Open:
        opened = self._top(name, *kinds)
        self._order.pop()
        self._open[name].pop()
        return opened

    def _loop(self, name: str) -> _Open:
        for opened in reversed(self._open.get(name, [])):
            if opened.kind in ("while", "do"):
                return opened
        raise NotUnderstood("there is no while or do of this number around it")

    def _leave_here(self, opened: _Open) -> None:
        here = self._builder.here()
        for jump in opened.ends:
            jump.target = here
        if opened.skip is not None:
            opened.skip.target = here

    def _jump(self, source: Source, target: int = -1) -> Jump:
        jump = Jump(source.line, target)
        self._builder.emit(jump)
        return jump

    def _sub(self, name: str, source: Source, rest: str) -> None:
        self._nothing(rest)
        if self._inside:
            raise NotUnderstood("a subprogram may not hold another")
        if name in self._builder.lowered.programs:
            raise NotUnderstood(f"there are two subprograms {name}")
        self._push(name, _Open("sub", source, skip=self._jump(source)))
        self._inside = name
        self._builder.lowered.programs[name] = self._builder.here()

    def _endsub(self, name: str, source: Source, rest: str) -> None:
        value = self._expression(rest) if rest else None
        opened = self._pop(name, "sub")
        self._inside = ""
        self._builder.emit(Return(source.line, value))
        self._leave_here(opened)

    def _return(self, name: str, source: Source, rest: str) -> None:
        if self._inside != name:
            raise NotUnderstood("there is no subprogram of this number around it")
        self._builder.emit(Return(source.line, self._expression(rest) if rest else None))

    def _call(self, name: str, source: Source, rest: str) -> None:
        scanner = self._builder.scanner(rest)
        arguments: list[Code] = []
        while not scanner.done():
            if not scanner.rest().startswith(self._bracket):
                raise NotUnderstood("arguments in brackets are wanted after CALL")
            arguments.append(scanner.value())
        self._builder.emit(Call(source.line, name, tuple(enumerate(arguments, 1)), text=source.text, scoped=True))

    def _if(self, name: str, source: Source, rest: str) -> None:
        skip = JumpIf(source.line, self._expression(rest), when=False, text=source.text)
        self._builder.emit(skip)
        self._push(name, _Open("if", source, skip=skip))

    def _elseif(self, name: str, source: Source, rest: str) -> None:
        condition = self._expression(rest)
        opened = self._branch(name, source)
        opened.skip = JumpIf(source.line, condition, when=False, text=source.text)
        self._builder.emit(opened.skip)

    def _else(self, name: str, source: Source, rest: str) -> None:
        self._nothing(rest)
        self._branch(name, source).otherwise = True

    def _branch(self, name: str, source: Source) -> _Open:
        opened = self._top(name, "if")
        if opened.otherwise:
            raise NotUnderstood("the else of this if has been already")
        opened.ends.append(self._jump(source))
        if opened.skip is not None:
            opened.skip.target = self._builder.here()
            opened.skip = None
        return opened

    def _endif(self, name: str, source: Source, rest: str) -> None:
        self._nothing(rest)
        self._leave_here(self._pop(name, "if"))

    def _while(self, name: str, source: Source, rest: str) -> None:
        condition = self._expression(rest)
        if self._order and self._order[-1][0] == name and self._order[-1][1].kind == "do":
            opened = self._pop(name, "do")
            for jump in opened.rounds:
                jump.target = self._builder.here()
            self._builder.emit(JumpIf(source.line, condition, when=True, target=opened.top, text=source.text))
            self._leave_here(opened)
            return
        top = self._builder.here()
        skip = JumpIf(source.line, condition, when=False, text=source.text)
        self._builder.emit(skip)
        self._push(name, _Open("while", source, top=top, skip=skip))

    def _endwhile(self, name: str, source: Source, rest: str) -> None:
        self._nothing(rest)
        self._end_loop(self._pop(name, "while"), source)

    def _do(self, name: str, source: Source, rest: str) -> None:
        self._nothing(rest)
        self._push(name, _Open("do", source, top=self._builder.here()))

    def _repeat(self, name: str, source: Source, rest: str) -> None:
        counter = f"{HIDDEN}{source.line}"
        self._builder.emit(SetOwn(source.line, counter, self._expression(rest), whole=True, text=source.text))
        top = self._builder.here()
        positive = (load(counter), Constant(0.0), combine(operator("gt", 0.0)))
        skip = JumpIf(source.line, positive, when=False)
        self._builder.emit(skip)
        one_less = (load(counter), Constant(1.0), combine(operator("subtract", 0.0)))
        self._builder.emit(SetOwn(source.line, counter, one_less))
        self._push(name, _Open("repeat", source, top=top, skip=skip))

    def _endrepeat(self, name: str, source: Source, rest: str) -> None:
        self._nothing(rest)
        self._end_loop(self._pop(name, "repeat"), source)

    def _end_loop(self, opened: _Open, source: Source) -> None:
        for jump in opened.rounds:
            jump.target = opened.top
        self._jump(source, opened.top)
        self._leave_here(opened)

    def _break(self, name: str, source: Source, rest: str) -> None:
        self._nothing(rest)
        loop = self._loop(name)
        loop.ends.append(self._jump(source))

    def _continue(self, name: str, source: Source, rest: str) -> None:
        self._nothing(rest)
        loop = self._loop(name)
        loop.rounds.append(self._jump(source))
