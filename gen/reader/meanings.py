"""From words to meanings: a control's tables turned round."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from typing import Literal, NamedTuple

from gen.control.model import Control, is_keyword

BUILDER = "builder"
"""The group of a word that is known to be the machine builder's, and no more."""


class Meaning(NamedTuple):
    """What a code is: a mode (``group``, ``name``), a code that acts once, a switch, or merely known.

    ``with_words``: words that must stand beside it, with these values.
    """

    kind: Literal["mode", "once", "switch", "known"]
    group: str
    name: str
    with_words: tuple[tuple[str, float], ...] = ()


def split(word: str) -> tuple[str, float]:
    """A word of the tables as the letter and the number that a block has; a keyword stands for itself."""
    return (word, 0.0) if is_keyword(word) else (word[0], float(word[1:]))


class Meanings:
    """Looks up what a code means to ``control``; ``letters`` begin codes, ``beside`` may have to stand with one."""

    def __init__(self, control: Control) -> None:
        self._table: dict[tuple[str, float], list[Meaning]] = {}
        self._builder = control.builder
        for group, words in control.groups.items():
            for name, word in words.items():
                self._add(word, "mode", group, name)
        for word, mode in control.aliases.items():
            group, _, name = mode.partition(".")
            if group == "once":
                self._add(word, "once", "", name)
            else:
                self._add(word, "mode", group, name)
        for name, word in control.once.items():
            self._add(word, "once", "", name)
        for name, word in control.codes.items():
            self._add(word, "switch", "", name)
        for word in control.known:
            self._add(word, "known", "", word)
        for meanings in self._table.values():
            meanings.sort(key=lambda meaning: -len(meaning.with_words))
        self.letters = {"G", "M", *(letter for letter, _ in self._table)}
        every = [meaning for meanings in self._table.values() for meaning in meanings]
        self.beside = {letter for meaning in every for letter, _ in meaning.with_words}

    def with_axes(self, letter: str, value: float) -> Meaning | None:
        """What a word means beside axis words that means something else without them."""
        return next((one for one in self._table.get((letter, value), ()) if one.kind == "once"), None)

    def find(self, letter: str, value: float, others: Mapping[str, object]) -> Meaning | None:
        """What ``letter`` with ``value`` means among the ``others`` of its block."""
        for meaning in self._table.get((letter, value), ()):
            if all(others.get(name) == wanted for name, wanted in meaning.with_words):
                return meaning
        if self._builder is not None and self._builder.has(letter, value):
            return Meaning("known", BUILDER, letter)
        return None

    def _add(self, words: str, kind: Literal["mode", "once", "switch", "known"], group: str, name: str) -> None:
        (letter, value), *rest = [split(word) for word in words.split()]
        self._table.setdefault((letter, value), []).append(Meaning(kind, group, name, tuple(rest)))


meanings_of = lru_cache(32)(Meanings)
