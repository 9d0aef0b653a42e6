"""Which of a recipe's programs one is: the dress, the first opening after truing, or the prove-out of either."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias

Form: TypeAlias = Literal["program", "block", "subprogram"]

Purpose: TypeAlias = Literal["dress", "prove-out"]
"""What a program is for: to dress, or to show the same motion with the stick held off."""


@dataclass(frozen=True, slots=True)
class Edition:
    """Which program of its recipe this is; heading, plan, reading and rules all carry the same one.

    ``after_truing``: the first opening after truing. ``counts``: it counts the parts by itself, and dresses when a
    dress is due; a heading read back from a text does not tell.
    """

    form: Form = "program"
    after_truing: bool = False
    purpose: Purpose = "dress"
    counts: bool = False

    @property
    def dresses(self) -> bool:
        """Whether the stick is meant to touch the wheel."""
        return self.purpose == "dress"

    @property
    def suffix(self) -> str:
        """What a file's name has behind the recipe's."""
        return ("-after-truing" if self.after_truing else "") + ("" if self.dresses else f"-{self.purpose}")
