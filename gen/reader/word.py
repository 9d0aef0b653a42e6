"""A word of a program, a letter and what stands behind it, and how it is spelled in a message."""

from __future__ import annotations

from typing import NamedTuple

from gen.reader.expressions import Code


class Word(NamedTuple):
    """A letter and its value, or a keyword; ``pointless``: nothing but a whole number without a decimal point."""

    letter: str
    value: Code
    pointless: bool = False


def spelled(letter: str, value: float) -> str:
    """A code as a control's tables write it: ``G1``, or the keyword alone."""
    return letter if len(letter) > 1 else f"{letter}{value:g}"
