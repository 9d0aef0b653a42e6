"""Numbered programs: ``O7101`` begins one, ``M98 P7101`` or ``L7101`` calls it, ``M99`` or ``M17`` returns."""

from __future__ import annotations

import re
from dataclasses import replace

from gen.control.tables import Flow, Subprograms
from gen.reader.builder import Builder, Construct
from gen.reader.expressions import Code, unknown_value
from gen.reader.failure import NotUnderstood
from gen.reader.lexis import Source
from gen.reader.program import Block, Call, EndOfText, Return, program_name
from gen.reader.word import Word, spelled


class NumberedPrograms(Construct):
    """Lowers program numbers, calls and returns."""

    def __init__(self, flow: Flow, builder: Builder) -> None:
        self._rules = flow.subprograms
        self._builder = builder
        choice = "|".join(map(re.escape, flow.program_letters))
        self._number = re.compile(rf"(?:{choice})([0-9]{{1,8}})") if choice else None
        named = [re.escape(heading).replace(r"\{name\}", "([A-Z0-9_]+?)") for heading in flow.headings]
        self._heading = re.compile("|".join(named)) if named else None

    def take(self, source: Source) -> bool:
        found = self._number.match(source.code) if self._number else None
        if found:
            self._begin(source, str(int(found[1])))
            source.code = source.code[found.end() :]
        elif self._heading is not None and (heading := self._heading.fullmatch(source.code)):
            self._begin(source, program_name(heading[heading.lastindex or 0]))
            return True
        return False

    def emit(self, source: Source, block: Block) -> bool:
        """Emits ``block`` if it calls or returns; its other words act first."""
        rules = self._rules
        if rules is None:
            return False
        words = {spelled(word.letter, word.value) for word in block.words if isinstance(word.value, float)}
        letters = {word.letter: word.value for word in block.words}
        ending = next((word for word in (rules.ends, *rules.also_ends) if word in words), "")
        calling = rules.call in words if rules.call else bool(rules.number_word) and rules.number_word in letters
        macro = bool(rules.macro_call) and rules.macro_call in words
        if not ending and not calling and not macro:
            return False
        if ending:
            if rules.number_word in letters:
                raise NotUnderstood("a return to a line number is not read")
            self._rest(block, ending, "")
            self._builder.emit(Return(source.line))
            return True
        if macro:
            self._macro(source, block, rules)
            return True
        number = letters.get(rules.number_word)
        if number is None:
            raise NotUnderstood(f"{rules.call} wants the number of a program after {rules.number_word}")
        name: str | Code = str(int(number)) if isinstance(number, float) else number
        self._rest(block, rules.call, rules.number_word + rules.repeat_word)
        repeat = letters.get(rules.repeat_word, 1.0)
        self._builder.emit(Call(source.line, name, repeat=repeat))
        return True

    def _macro(self, source: Source, block: Block, rules: Subprograms) -> None:
        """A call whose letters set variables of the program that is called, and mean nothing else."""
        arguments: list[tuple[int, Code]] = []
        name: Code | None = None
        for word in block.words:
            if isinstance(word.value, float) and spelled(word.letter, word.value) == rules.macro_call:
                continue
            if word.letter == rules.number_word:
                name = word.value
            elif word.letter in rules.arguments and not any(
                one == rules.arguments[word.letter] for one, _ in arguments
            ):
                arguments.append((rules.arguments[word.letter], self._argument(word)))
            else:
                raise NotUnderstood(f"{word.letter} beside {rules.macro_call} is not read")
        if name is None or block.assignments:
            raise NotUnderstood(f"{rules.macro_call} wants the number of a program after {rules.number_word}")
        number = str(int(name)) if isinstance(name, float) else name
        self._builder.emit(Call(source.line, number, tuple(arguments), scoped=True))

    def _argument(self, word: Word) -> Code:
        """The value of ``word``; not known where some controls count a whole number in the last decimal place."""
        control = self._builder.control
        if not word.pointless or not word.value or control.numbers.point == "needed":
            return word.value
        return unknown_value(f"{word.letter} without a decimal point")

    def _rest(self, block: Block, code: str, letters: str) -> None:
        words = tuple(
            word
            for word in block.words
            if word.letter not in letters
            and not (isinstance(word.value, float) and spelled(word.letter, word.value) == code)
        )
        if words or block.assignments:
            self._builder.emit(replace(block, words=words, sorted=self._builder.sorter.beforehand(words)))

    def _begin(self, source: Source, name: str) -> None:
        lowered = self._builder.lowered
        if name in lowered.programs:
            raise NotUnderstood(f"there are two programs {name}")
        if self._builder.here():
            self._builder.emit(EndOfText(source.line))
            lowered.sections.append(self._builder.here())
        lowered.programs[name] = self._builder.here()
