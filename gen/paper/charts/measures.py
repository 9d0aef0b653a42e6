"""Where the lengths are measured that a person enters: stick, wheel, and a stand-off. Not to scale."""

from __future__ import annotations

from typing import ClassVar

from gen.base.dataclass import dataclass
from gen.control.draft import Program
from gen.paper.charts.plot import DrawingSize
from gen.paper.shown import PLAIN, Shown, Style


@dataclass(frozen=True, slots=True)
class MeasuresChart:
    """What is drawn: contact on a ``face`` (gauge G) or on the periphery (diameter D), a ``jaw``, a ``stand_off``.

    ``size_at`` and ``length_at`` are the registers that hold them, empty without; ``wheels`` counts those of a pack.
    """

    kind: ClassVar[str] = "measures"
    size: DrawingSize
    face: bool
    jaw: bool
    stand_off: str
    size_at: str
    length_at: str
    wheels: int
    title: str


def measures_chart(program: Program, title: str, style: Style = PLAIN) -> MeasuresChart:
    """The drawing for the dresser and the first wheel of ``program``."""
    dress = program.dress
    numbers, set_up = program.plan.registers, dress.dresser.set_up
    return MeasuresChart(
        size=DrawingSize(250, 132, 9.5),
        face=dress.first.face,
        jaw=bool(dress.held),
        stand_off="" if set_up is None else Shown(dress.machine.units, style).length(set_up.stand_off),
        size_at=str(numbers.get(dress.first.size_name, "")) if len(dress.wheels) == 1 else "",
        length_at=str(numbers.get("stick_length", "")) if dress.dresser.needs_length else "",
        wheels=len(dress.wheels),
        title=title,
    )
