"""The registers that a program reads: what each holds, what is accepted, and who enters it."""

from __future__ import annotations

from decimal import Decimal
from typing import Literal, TypeAlias

from gen.base.dataclass import dataclass
from gen.control.draft import Program
from gen.paper.shown import Shown, Style, span
from gen.plan.node import Store, walk

By: TypeAlias = Literal["measured", "kept", "counted", "zeroed", "lane", "guard"]


@dataclass(frozen=True, slots=True)
class RegisterRow:
    """One register: ``number``, what it holds (``name``), and the values that are accepted (empty: any).

    ``by``: a person measures it (``measured``), and the program lowers it after
    each plunge (``kept``); the program counts parts (``counted``) or sets it to
    0 after a dress (``zeroed``); a person enters 1 with a new stick, and the program counts
    lanes (``lane``); the program sets it during a dress (``guard``).
    ``of_wheel``: it holds a wheel's size.
    """

    number: str
    name: str
    accepted: str
    by: By
    of_wheel: bool


def register_rows(program: Program, style: Style) -> tuple[RegisterRow, ...]:
    """The rows for ``program``, in the order of its machine file."""
    dress = program.dress
    table = dress.machine.registers
    held = Shown("mm" if table is None else table.units, style)
    accepted: dict[str, tuple[Decimal, Decimal]] = dict(dress.sizes)
    if dress.dresser.needs_length:
        accepted["stick_length"] = dress.length_range
    written = {node.register for node in walk(program.plan.nodes) if isinstance(node, Store)}
    rows = []
    for name, number in program.plan.registers.items():
        if name in accepted:
            low, high = (held.length(end) for end in accepted[name])
            by: By = "kept" if name in written else "measured"
            rows.append(RegisterRow(str(number), name, span(low, high), by, name in dress.sizes))
        elif name == "in_progress":
            rows.append(RegisterRow(str(number), name, "0", "guard", False))
        elif name == "next_lane":
            rows.append(RegisterRow(str(number), name, span("1", str(len(dress.turns))), "lane", False))
        elif name == "parts_since_dress":
            rows.append(RegisterRow(str(number), name, "", "counted" if program.edition.counts else "zeroed", False))
    return tuple(rows)
