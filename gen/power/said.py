"""What is said about a log, before any language has worded it."""

from __future__ import annotations

from typing import NamedTuple, TypeAlias

SayableNumber: TypeAlias = str | tuple[tuple[str, str], ...]
"""A number as text with a decimal point, or ranges of them."""


class Said(NamedTuple):
    """A sentence by its ``key``, which a language's ``answers.j2`` words, with the numbers in it by name."""

    key: str
    numbers: tuple[tuple[str, SayableNumber], ...] = ()


def as_said(key: str, **numbers: SayableNumber) -> Said:
    return Said(key, tuple(numbers.items()))
