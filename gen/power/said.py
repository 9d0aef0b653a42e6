"""What is said about a log, before any language has worded it."""

from __future__ import annotations

from typing import NamedTuple, TypeAlias

Number: TypeAlias = str | tuple[tuple[str, str], ...]
"""A number as text with a decimal point, or ranges of them."""


class Said(NamedTuple):
    """A sentence by its ``key``, which a language's ``answers.j2`` words, with the numbers in it by name."""

    key: str
    numbers: tuple[tuple[str, Number], ...] = ()


def say(key: str, **numbers: Number) -> Said:
    return Said(key, tuple(numbers.items()))
