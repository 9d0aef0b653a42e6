"""Where the lengths are measured that a person enters: stick, wheel, and a stand-off. Not to scale."""

from __future__ import annotations

from gen.control.draft import Program
from gen.paper.charts import Chart
from gen.paper.charts.plot import DrawingSize
from gen.paper.shown import Shown


def measures_chart(program: Program, language: str = "en") -> Chart:
    """The drawing for the dresser and the first wheel of ``program``.

    Contact is on a ``face`` (gauge G) or on the periphery (diameter D). ``size_at`` and ``length_at`` are the registers
    that hold them, empty without; ``wheels`` counts those of a pack.
    """
    dress = program.dress
    numbers, dresser = program.plan.registers, dress.dresser
    return Chart(
        kind="measures",
        size=DrawingSize(250, 132, 9.5),
        face=dress.first.face,
        jaw=bool(dress.held),
        stand_off="" if dresser.per_set_up is None else Shown(dress.machine.units, language).length(dresser.gap),
        size_at=str(numbers.get(dress.first.size_name, "")) if len(dress.wheels) == 1 else "",
        length_at=str(numbers.get("stick_length", "")) if dresser.needs_length else "",
        wheels=len(dress.wheels),
        title=dress.recipe.title,
    )
