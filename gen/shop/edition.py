"""Which of a recipe's programs one is: the dress, the first opening after truing, a prove-out or the gap check."""

from __future__ import annotations

from typing import Literal, TypeAlias

from gen.base.dataclass import dataclass

Form: TypeAlias = Literal["program", "block", "subprogram"]

Purpose: TypeAlias = Literal["dress", "prove-out", "gap-check"]
"""What a program is for: to dress, to show the same motion with the stick held off, or to prove the datum by a gap."""


@dataclass(frozen=True, slots=True)
class Edition:
    """Which program of its recipe this is; heading, plan, reading and rules all carry the same one.

    ``after_truing``: the first opening after truing. ``counts``: it counts the parts by itself, and dresses when a
    dress is due; a heading read back from a text does not tell. ``at_speed``: the program around it has waited for
    the spindle at the speed and in the sense of the dress, which does not wait again.
    """

    form: Form = "program"
    after_truing: bool = False
    purpose: Purpose = "dress"
    counts: bool = False
    at_speed: bool = False

    @property
    def dresses(self) -> bool:
        """Whether the stick is meant to touch the wheel."""
        return self.purpose == "dress"

    @property
    def has_sheet(self) -> bool:
        """Whether a sheet goes with it; what a prove-out is for stands on the dress's own."""
        return self.purpose != "prove-out"

    @property
    def spins(self) -> bool:
        """Whether the wheel turns in it."""
        return self.purpose != "gap-check"

    @property
    def named(self) -> str:
        """What a sentence calls it."""
        return "gap check" if self.purpose == "gap-check" else self.purpose

    @property
    def suffix(self) -> str:
        """What a file's name has behind the recipe's."""
        return ("-after-truing" if self.after_truing else "") + ("" if self.dresses else f"-{self.purpose}")
