"""Structured flow led by O words: ``o100 if [..]``, ``o100 while [..]``, ``o<name> call [..]``."""

from __future__ import annotations

import re
from collections.abc import Callable

from gen.control.tables import OWords as Rules
from gen.reader.builder import Builder
from gen.reader.expressions import Code
from gen.reader.failure import NotUnderstood
from gen.reader.lexis import Source
from gen.reader.nesting import Nesting, Open, combined
from gen.reader.program import Call, Jump, JumpIf, Return, SetOwn
from gen.reader.variables import HIDDEN

_BARE = ("SUB", "ELSE", "ENDIF", "ENDWHILE", "DO", "ENDREPEAT", "BREAK", "CONTINUE")
"""Words behind which nothing may stand."""


class OWordFlow(Nesting):
    """Lowers O words to jumps, calls and returns."""

    def __init__(self, rules: Rules, builder: Builder) -> None:
        super().__init__(builder)
        variables = builder.control.variables
        self._bracket, sigil = ("", "") if variables is None else (variables.brackets[0], variables.sigil)
        letter = re.escape(rules.letter)
        self._line = re.compile(rf"{letter}(<[^<>]+>|[0-9]{{1,9}})([A-Z]+)(.*)", re.DOTALL)
        self._computed = re.compile(rf"{letter}(?:{re.escape(self._bracket)}|{re.escape(sigil)})")
        self._used: set[tuple[str, str]] = set()
        self._inside = ""
        self._over: Jump | None = None
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
        if word in _BARE:
            self._builder.scanner(rest).nothing("stand here")
        handler(name.strip("<>").lower(), source, rest)
        return True

    def _expression(self, rest: str) -> Code:
        scanner = self._builder.scanner(rest)
        if not rest.startswith(self._bracket):
            raise NotUnderstood("an expression in brackets is wanted here")
        value = scanner.value()
        scanner.nothing("stand here")
        return value

    def _begin(self, kind: str, name: str, source: Source, condition: Code | None = None) -> Open:
        # within a subprogram, or outside of all of them, a number leads one construct
        if (self._inside, name) in self._used:
            self._builder.unread(source, f"the O number {name} leads another construct before this one")
        self._used.add((self._inside, name))
        return self._enter(kind, source, condition, name)

    def _top(self, name: str, kind: str) -> Open:
        return self._innermost(kind, f"this ends no {kind} of its number", name)

    def _pop(self, name: str, kind: str) -> Open:
        self._top(name, kind)
        return self._open.pop()

    def _loop(self, name: str) -> Open:
        for opened in reversed(self._open):
            if opened.name == name and opened.kind in ("while", "do"):
                return opened
        raise NotUnderstood("there is no while or do of this number around it")

    def _sub(self, name: str, source: Source, rest: str) -> None:
        if self._inside:
            raise NotUnderstood("a subprogram may not hold another")
        if name in self._builder.lowered.programs:
            raise NotUnderstood(f"there are two subprograms {name}")
        self._begin("sub", name, source)
        self._over = self._jump(source)
        self._inside = name
        self._builder.lowered.programs[name] = self._builder.here()

    def _endsub(self, name: str, source: Source, rest: str) -> None:
        value = self._expression(rest) if rest else None
        self._pop(name, "sub")
        self._inside = ""
        self._builder.emit(Return(source.line, value))
        if self._over is not None:
            self._over.target = self._builder.here()

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
        self._builder.emit(Call(source.line, name, tuple(enumerate(arguments, 1)), scoped=True))

    def _if(self, name: str, source: Source, rest: str) -> None:
        self._begin("if", name, source, self._expression(rest))

    def _elseif(self, name: str, source: Source, rest: str) -> None:
        condition, opened = self._expression(rest), self._top(name, "if")
        self._branch(opened, source, "else")
        self._skip(opened, source, condition)

    def _else(self, name: str, source: Source, rest: str) -> None:
        opened = self._top(name, "if")
        self._branch(opened, source, "else")
        opened.otherwise = True

    def _endif(self, name: str, source: Source, rest: str) -> None:
        self._leave(self._pop(name, "if"))

    def _while(self, name: str, source: Source, rest: str) -> None:
        condition = self._expression(rest)
        if not self._open or (self._open[-1].name, self._open[-1].kind) != (name, "do"):
            self._begin("while", name, source, condition)
            return
        opened = self._open.pop()
        for jump in opened.rounds:
            jump.target = self._builder.here()
        self._builder.emit(JumpIf(source.line, condition, when=True, target=opened.top))
        self._leave(opened)

    def _endwhile(self, name: str, source: Source, rest: str) -> None:
        self._go_round(self._pop(name, "while"), source)

    def _do(self, name: str, source: Source, rest: str) -> None:
        self._begin("do", name, source)

    def _repeat(self, name: str, source: Source, rest: str) -> None:
        counter = f"{HIDDEN}{source.line}"
        self._builder.emit(SetOwn(source.line, counter, self._expression(rest), whole=True))
        self._begin("repeat", name, source, combined(counter, "gt", 0.0))
        self._builder.emit(SetOwn(source.line, counter, combined(counter, "subtract", 1.0)))

    def _endrepeat(self, name: str, source: Source, rest: str) -> None:
        self._go_round(self._pop(name, "repeat"), source)

    def _break(self, name: str, source: Source, rest: str) -> None:
        self._loop(name).ends.append(self._jump(source))

    def _continue(self, name: str, source: Source, rest: str) -> None:
        self._loop(name).rounds.append(self._jump(source))
