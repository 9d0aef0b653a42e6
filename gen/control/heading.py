"""The comments at the head of a block that say what it is and for which wheel and stick it is right.

They are written for a person and read back by ``check``, so that a program
found in a folder leads to its machine, its recipe and its state. That is why
they are the same in every language.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal

from gen.base.quantities import QuantityError, parse, plain
from gen.order.compose import Form

PROVE_OUT = "PROVE-OUT ONLY, STICK HELD OFF, DOES NOT DRESS"
AFTER_TRUING = "FIRST OPENING AFTER TRUING"

_NAME = re.compile(r"^(MACHINE|RECIPE|FORM) (\S+)$", re.IGNORECASE)
_SIGNS = re.compile(r"^\W+|\W+$")
_FORMS: dict[str, Form] = {"program": "program", "block": "block", "subprogram": "subprogram"}
_VALUE = re.compile(
    r"^RIGHT ONLY FOR (WHEEL DIAMETER(?: [1-9])?|WHEEL GAUGE|STICK LENGTH|SLIDE POSITION) (-?[\d.]+) (MM|IN)$",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class Heading:
    """What a block says of itself: machine folder, recipe file, the state in mm (empty: registers), and its kind."""

    machine: str
    recipe: str
    state: Mapping[str, Decimal] = field(default_factory=dict)
    form: Form = "program"
    after_truing: bool = False
    prove_out: bool = False

    def lines(self, system: str = "mm") -> list[str]:
        names = [
            *([PROVE_OUT] if self.prove_out else []),
            *([AFTER_TRUING] if self.after_truing else []),
            f"MACHINE {self.machine}",
            f"RECIPE {self.recipe}",
            f"FORM {self.form}".upper(),
        ]
        if not self.state:
            return [*names, "WHEEL AND STICK ARE READ FROM REGISTERS"]
        per_unit, unit = (Decimal("25.4"), "IN") if system == "inch" else (Decimal(1), "MM")
        return names + [
            f"RIGHT ONLY FOR {name.replace('_', ' ').upper()} {plain(value / per_unit, 6, strip=True)} {unit}"
            for name, value in self.state.items()
        ]


def is_reserved(line: str) -> bool:
    """Whether :func:`read_heading` would take ``line`` for something that it looks for."""
    text = _SIGNS.sub("", line)
    return bool(_NAME.match(text) or _VALUE.match(text)) or text.upper() in (PROVE_OUT, AFTER_TRUING)


def read_heading(numbered: Iterable[tuple[int, str]], first: int, last: int) -> Heading | None:
    """The heading among the ``numbered`` lines from ``first`` to ``last``; None if there is none.

    Which control a program is for follows from its heading, so that whatever
    signs enclose its comments are taken off.
    """
    names: dict[str, str] = {}
    said: set[str] = set()
    state: dict[str, Decimal] = {}
    for line, text in numbered:
        if not first <= line <= last:
            continue
        bare = _SIGNS.sub("", text)
        said.add(bare.upper())
        if match := _NAME.match(bare):
            names.setdefault(match[1].lower(), match[2])
        elif match := _VALUE.match(bare):
            try:
                state[match[1].lower().replace(" ", "_")] = parse(f"{match[2]} {match[3].lower()}", "length")
            except QuantityError:
                continue
    if "machine" not in names or "recipe" not in names:
        return None
    form = _FORMS.get(names.get("form", "").lower(), "program")
    return Heading(names["machine"], names["recipe"], state, form, AFTER_TRUING in said, PROVE_OUT in said)
