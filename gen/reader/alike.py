"""A line that is an earlier one with other numbers: its block, made without taking the line apart again.

What stays when the numbers that only count are taken out of a line is its pattern: ``N10 G2 X1.5 R[#5+2.]`` has the
pattern ``N_ G2 X_ R[#5+_]``. Of the first line of a pattern the block is made as of any line, and its numbers are
looked for in it; where they are not all found, in the order written, lines of this pattern are taken apart one by one.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import fields
from functools import lru_cache
from typing import Any, NamedTuple, TypeAlias

from gen.control.model import Control
from gen.reader.expressions import Code, Constant
from gen.reader.lexis import Source
from gen.reader.program import Block
from gen.reader.sorting import Sorted, sorter_of
from gen.reader.word import Word

_NUMBER = r"(?:[0-9]{1,12}\.[0-9]{0,12}|\.[0-9]{1,12})"
_ENDS = r"(?![ \t]*[0-9.])"
_LONGEST_LINE = 120
_MANY_PATTERNS = 500

_Made: TypeAlias = Callable[[Sequence[float]], Code]
"""The value of a word or an assignment, of the numbers of its line."""


class Pattern(NamedTuple):
    """``made``: what holds numbers of the line, at which place among words and assignments."""

    block: Block
    numbered: bool
    made: tuple[tuple[int, _Made], ...]
    sorted: tuple[Any, ...]

    def of(self, line: int, values: Sequence[float]) -> Block:
        """The block of the line number ``line`` with ``values``."""
        block = self.block
        if block.assignments:
            assignments = list(block.assignments)
            for at, made in self.made:
                assignments[at] = assignments[at][0], made(values)
            return Block(line, (), tuple(assignments), block.comments, block.messages, block.sorted)
        words = list(block.words)
        assert block.sorted is not None
        counted = block.sorted.words.copy()
        for at, made in self.made:
            letter, _, pointless = words[at]
            value = counted[letter] = made(values)
            words[at] = tuple.__new__(Word, (letter, value, pointless))
        # the other fields in their order; ``replace`` takes several times as long
        found = Sorted(counted, *self.sorted)
        return Block(line, tuple(words), (), block.comments, block.messages, found)


class Patterns:
    """The patterns met so far."""

    def __init__(self, control: Control) -> None:
        self._sorter = sorter_of(control)
        sigil = "" if control.variables is None else control.variables.sigil
        self._letters = "".join({*control.axes, *"FIJKR"} - self._sorter.codes - {*sigil})
        self._number = re.compile(
            rf"(^N[0-9]{{1,9}}|(?<=[{self._letters}])[-+]?{_NUMBER}|(?<=[\[(=+*/,-])(?:{_NUMBER}|[0-9]{{1,12}})){_ENDS}",
            re.IGNORECASE,
        )
        self._longest = min(_LONGEST_LINE, control.lexis.line_length)
        self._known: dict[tuple[str, ...], Pattern | None] = {}

    def block(self, line: int, text: str) -> tuple[Block, int | None] | None:
        """The block of ``text`` and its sequence number, if its pattern is known."""
        parts = self._number.split(text)
        pattern = self._known.get(tuple(parts[::2]))
        if pattern is None or len(text) > self._longest:
            return None
        if pattern.numbered:
            return pattern.of(line, list(map(float, parts[3::2]))), int(parts[1][1:])
        return pattern.of(line, list(map(float, parts[1::2]))), None

    def learn(self, text: str, source: Source, block: Block) -> None:
        """Remembers that the line ``text`` is ``block`` and nothing else."""
        if source.deletable or source.name or source.acts or source.stops is not None or len(text) > self._longest:
            return
        parts = self._number.split(text)
        key = tuple(parts[::2])
        if key not in self._known:
            if len(self._known) >= _MANY_PATTERNS:
                self._known.clear()
            self._known[key] = self._pattern(parts[1::2], [part.endswith("-") for part in parts[::2]], source, block)

    def _pattern(self, written: list[str], signed: list[bool], source: Source, block: Block) -> Pattern | None:
        numbered = bool(written) and written[0][0] in "Nn"
        if numbered != (source.label is not None) or block.sorted is None or block.sorted.complaints:
            return None
        if block.assignments and (block.words or not all(isinstance(to, (int, str)) for to, _ in block.assignments)):
            return None
        numbers = [float(one) for one in written[numbered:]]
        taken = iter(range(len(numbers)))
        made = []
        codes = [word.value for word in block.words] or [value for _, value in block.assignments]
        for at, code in enumerate(codes):
            if block.words and self._is_kept(block.words[at]):
                continue
            one = _template(code, numbers, signed[numbered:], taken)
            if one is None:
                return None
            made.append((at, one))
        letters = {block.words[at].letter for at, _ in made} if block.words else set()
        if next(taken, None) is not None or letters & self._sorter.by_value or not letters <= block.sorted.words.keys():
            return None
        rest = tuple(getattr(block.sorted, field.name) for field in fields(Sorted)[1:])
        return Pattern(block, numbered, tuple(made), rest)

    def _is_kept(self, word: Word) -> bool:
        """Whether ``word`` is in the pattern with its value."""
        return word.pointless or (isinstance(word.value, float) and word.letter not in self._letters)


def _template(code: Code, numbers: Sequence[float], signed: Sequence[bool], taken: Iterator[int]) -> _Made | None:
    """What makes ``code`` of the numbers of a line, the next of which are in it; None if they are not."""
    places: list[tuple[int, int, float]] = []
    for place, operation in enumerate((Constant(code),) if isinstance(code, float) else code):
        if isinstance(operation, Constant):
            at = next(taken, None)
            if at is None or abs(operation.number) != abs(numbers[at]) or (signed[at] and not numbers[at]):
                return None
            places.append((place, at, 1.0 if operation.number == numbers[at] else -1.0))
    if isinstance(code, float):
        _, only, factor = places[0]
        return lambda values: factor * values[only] + 0.0

    def made(values: Sequence[float]) -> Code:
        operations = list(code)
        for place, at, sign in places:
            operations[place] = Constant(sign * values[at] + 0.0)
        return tuple(operations)

    return made


patterns_of = lru_cache(32)(Patterns)
