"""The reader as it was first drafted, an object for each word and step: the one in use is measured against it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

_WORD = re.compile(r"([A-Z])\s*([-+]?[0-9]*\.?[0-9]+)")


@dataclass(frozen=True)
class Word:
    letter: str
    value: float


@dataclass(frozen=True)
class Step:
    line: int
    motion: str
    to: dict[str, float]
    rate: float | None


def steps(text: str) -> Iterator[Step]:
    """The moves of a plain program of G0 and G1."""
    motion = "rapid"
    rate: float | None = None
    position: dict[str, float] = {}
    for line, block in enumerate(text.splitlines(), 1):
        words = [Word(letter, float(value)) for letter, value in _WORD.findall(block.upper())]
        axes: dict[str, float] = {}
        for word in words:
            if word.letter == "G" and word.value in (0.0, 1.0):
                motion = "feed" if word.value else "rapid"
            elif word.letter == "F":
                rate = word.value
            elif word.letter in "XYZABCUVW":
                axes[word.letter] = word.value
        if axes:
            position = {**position, **axes}
            yield Step(line, motion, position, rate if motion == "feed" else None)
