"""In a gap check the stick stops once before each wheel, at the gap to be measured, whatever the registers say.

Why: A gap other than the one that is told makes a good datum look wrong, or a wrong one good.
Example: The stick stops 1.5 mm before wheel 2, and the gap check tells 1 mm.
Helps: Generate the gap check again.
"""

from math import isinf

from gen.bounds.kit import TOLERANCE, Contacts, Dress, DressBlock, Fault, Found, Reading, Units, Wear, Wheel, bound
from gen.bounds.rules.path.meant import meant
from gen.bounds.units import times_told
from gen.physics.contact import along_plunge
from gen.plan.step import Move, Stop


@bound("gap-check", intents=("gap-check",))
def check(reading: Reading, block: DressBlock, dress: Dress, contacts: Contacts, wear: Wear, units: Units) -> Found:
    stops = meant(block, dress, contacts, "gap-check")
    for index, line, bite, _ in stops:
        wheel, gap = dress.wheels[bite.wheel], contacts.after[index].gap
        wanted = gap_of(dress, wheel)
        at = f" before wheel {wheel.number}" if wheel.number else ""
        if gap is None or abs(gap - wanted) > TOLERANCE:
            beside = gap is not None and isinf(gap)
            said = "an unknown distance" if gap is None else "beside the wheel, far" if beside else units.mm(gap)
            yield Fault(
                line,
                f"the stick stops {said} from contact{at}; {units.mm(wanted)} is to be measured ({wear.here}).",
                amount=0.0 if gap is None else abs(gap - wanted),
            )
        behind = (reading.steps[later] for later in range(index + 1, block.run.stop))
        if not isinstance(next((step for step in behind if isinstance(step, (Move, Stop))), None), Stop):
            yield Fault(line, f"the program does not stop{at or ' at the gap'}, so that nobody can measure it.")
    if len(stops) != len(dress.wheels):
        said = f"the stick stops before a wheel {times_told(len(stops))}; {times_told(len(dress.wheels))} is wanted."
        yield Fault(block.last_line, said)


def gap_of(dress: Dress, wheel: Wheel) -> float:
    """How far the stick stays off ``wheel`` along the plunge, mm."""
    return along_plunge(wheel.geometry, float(dress.dresser.measured_gap or 0))
