"""Variables with names, which a program declares before it uses them, and calls of programs by their names."""

from __future__ import annotations

import re

from gen.control.tables import Declarations
from gen.reader.builder import Builder, Construct
from gen.reader.expressions import MARK, MARK_END, MARK_WHOLE
from gen.reader.failure import NotUnderstood
from gen.reader.lexis import Source
from gen.reader.program import Block, Call

_NAME = r"[A-Z_]{2}[A-Z0-9_]*"


class Declared(Construct):
    """Lowers declarations, and marks the names that were declared in the lines that follow."""

    def __init__(self, rules: Declarations, builder: Builder) -> None:
        self._builder = builder
        self._rules = rules
        kinds = "|".join(map(re.escape, rules.kinds))
        self._declares = re.compile(rf"{re.escape(rules.word)}\s+({kinds})\s+(.+)")
        self._begins = re.compile(rf"{re.escape(rules.word)}\s")
        self._program = re.compile(rf"{re.escape(rules.program)}\s+{_NAME}\s*(\(\s*\))?") if rules.program else None
        self._names: dict[str, str] = {}
        self._pattern: re.Pattern[str] | None = None
        self._section = 0

    def take(self, source: Source) -> bool:
        if self._section != len(self._builder.lowered.sections):
            # names belong to the program that declares them
            self._section, self._names, self._pattern = len(self._builder.lowered.sections), {}, None
        line = source.code_with_spaces()
        if found := self._declares.fullmatch(line):
            self._declare(source, self._rules.kinds[found[1]] == "whole", found[2])
            return True
        if self._begins.match(line):
            raise NotUnderstood("a declaration of this kind is not read")
        if self._program is not None and self._program.fullmatch(line):
            return True
        if self._pattern is not None:
            source.code = "".join(self._pattern.sub(lambda name: self._names[name[0]], line).split())
        return False

    def _declare(self, source: Source, whole: bool, names: str) -> None:
        for part in names.split(","):
            name, _, value = (piece.strip() for piece in part.partition("="))
            if not re.fullmatch(_NAME, name):
                raise NotUnderstood(f"{part.strip()[:20]!r} is no variable that is read")
            section = len(self._builder.lowered.sections)
            register = name.lower() if section == 1 else f"{name.lower()}.{section}"
            self._names[name] = f"{MARK_WHOLE if whole else MARK}{register}{MARK_END}"
            scanner = self._builder.scanner("".join(value.split()) or "0")
            first = scanner.expression()
            if not scanner.done():
                raise NotUnderstood(f"{value[:20]!r} is no value that is read")
            self._builder.emit(Block(source.line, assignments=((register, first),)))
        choice = "|".join(sorted(map(re.escape, self._names), key=lambda name: -len(name)))
        self._pattern = re.compile(rf"(?<![A-Z0-9_$])({choice})(?![A-Z0-9_])")


class CallsByName:
    """Lowers a line that is a program's name and no more to a call of it."""

    def __init__(self, builder: Builder) -> None:
        self._builder = builder
        control = builder.control
        self._others = {*control.keywords, *control.flow.words}
        # a message whose text is worked out is no call
        self._others |= {opening.partition("(")[0] for opening, _ in control.lexis.messages}
        self._with_values: list[tuple[Source, str]] = []

    def take(self, source: Source) -> bool:
        found = re.fullmatch(rf"({_NAME})\s*(\(.*\))?", source.code_with_spaces())
        if found is None or found[1] in self._others or source.code != "".join(found[0].split()):
            return False
        if found[2] and found[2].strip("() "):
            self._with_values.append((source, found[1].lower()))
        self._builder.emit(Call(source.line, found[1].lower()))
        return True

    def finish(self) -> None:
        for source, name in self._with_values:
            if name in self._builder.lowered.programs:
                self._builder.unread(source, f"what {name} does with the values that it is given is not read")
