"""A grinding program as lines that keep their ends, so that what is not touched stays as it was to the byte."""

from __future__ import annotations

import re
from array import array
from collections.abc import Sequence
from functools import cached_property

from gen.base.dataclass import dataclass


@dataclass(frozen=True)
class HostLines:
    """The lines of ``text``, each with its end; the first is number 1."""

    text: str

    def __len__(self) -> int:
        return len(self._ends) - 1

    @cached_property
    def _ends(self) -> array[int]:
        """Where each line ends, behind its line end; that of number 0 is where the text begins."""
        ends = array("q", (0,))
        ends.extend(found.end() for found in re.finditer("\n", self.text))
        if ends[-1] < len(self.text):
            ends.append(len(self.text))
        return ends

    def part(self, first: int, last: int) -> str:
        """The lines ``first`` to ``last``, with their ends; empty if ``last`` comes before ``first``."""
        return self.text[self._ends[first - 1] : self._ends[last]]

    def line(self, number: int) -> str:
        """The line of that number, without its end."""
        return self.part(number, number).removesuffix("\n").removesuffix("\r")

    @property
    def bare(self) -> list[str]:
        """The lines without their ends. A long text holds them for as long only as somebody looks at them."""
        lines = self.text.split("\n")
        if not lines[-1]:
            del lines[-1]
        return [line.removesuffix("\r") for line in lines] if "\r" in self.text else lines

    @property
    def end(self) -> str:
        """The line end that the text uses most; ``\\n`` where it has none."""
        both = self.text.count("\r\n")
        return "\r\n" if 2 * both > self.text.count("\n") else "\n"

    def without(self, first: int, last: int) -> HostLines:
        """The text without the lines ``first`` to ``last``; before a missing line end nothing is lost."""
        return HostLines(self.part(1, first - 1) + self.part(last + 1, len(self)))

    def with_lines(self, after: int, lines: Sequence[str]) -> HostLines:
        """The text with ``lines`` behind line ``after``, in the text's own line end."""
        end, above = self.end, self.part(1, after)
        between = end if above and not above.endswith("\n") else ""
        return HostLines(above + between + "".join(line + end for line in lines) + self.part(after + 1, len(self)))
