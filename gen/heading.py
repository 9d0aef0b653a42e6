"""The comments at the head of a block that say what it is and for which wheel and stick it is right.

They are written for a person and read back by ``check``, so that a program
found in a folder leads to its machine, its recipe and its state.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from gen.quantities import QuantityError, parse, show

_IDENTITY = re.compile(r"^MACHINE (\S+) RECIPE (\S+)$", re.IGNORECASE)
_STATE = re.compile(r"^RIGHT ONLY FOR (.+)$", re.IGNORECASE)
_VALUE = re.compile(r"(WHEEL DIAMETER|WHEEL GAUGE|STICK LENGTH|SLIDE POSITION) (-?[\d.]+) (MM|IN)\b", re.IGNORECASE)
_REGISTERS = re.compile(r"^WHEEL AND STICK ARE READ FROM REGISTERS\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Heading:
    """What a block says of itself: machine folder, recipe file, and the state in mm (empty: registers)."""

    machine: str
    recipe: str
    state: Mapping[str, Decimal] = field(default_factory=dict)

    def lines(self, system: str = "mm") -> list[str]:
        identity = f"MACHINE {self.machine} RECIPE {self.recipe}"
        if not self.state:
            return [identity, "WHEEL AND STICK ARE READ FROM REGISTERS"]
        unit = "inch" if system == "inch" else "mm"
        values = ", ".join(
            f"{name.replace('_', ' ').upper()} {show(value, 'length', unit, 5).upper()}"
            for name, value in self.state.items()
        )
        return [identity, f"RIGHT ONLY FOR {values}"]


def read_heading(comments: Iterable[tuple[int, str]], first: int, last: int) -> Heading | None:
    """The heading among ``comments`` (line, text) of lines ``first`` to ``last``; None if there is none."""
    machine = recipe = ""
    state: dict[str, Decimal] = {}
    for line, text in comments:
        if not first <= line <= last:
            continue
        if match := _IDENTITY.match(text.strip()):
            machine, recipe = match[1], match[2]
        elif match := _STATE.match(text.strip()):
            for name, number, unit in _VALUE.findall(match[1]):
                try:
                    state[name.lower().replace(" ", "_")] = parse(f"{number} {unit.lower()}", "length")
                except QuantityError:
                    continue
    return Heading(machine, recipe, state) if machine else None
