"""Which register makes a state one to refuse, and what a block may do before it refuses."""

from gen.base.dataclass import dataclass
from gen.bounds.kit import Dress, DressBlock, Units, Wear, stands_at
from gen.plan.step import Aux, Coolant, Move, Spindle, Step, Write
from gen.shop.edition import Edition


@dataclass(frozen=True)
class Outside:
    """The register ``name`` that makes a state one to refuse; ``above``: its value is above its range."""

    name: str
    said: str
    above: bool = False


def outside(dress: Dress, wear: Wear, edition: Edition, units: Units) -> Outside | None:
    """The first register with which the block must refuse; None where all are within their limits."""
    if wear.value("in_progress"):
        return Outside("in_progress", "a dress was interrupted")
    for name, (low, high) in dress.accepted(edition).items():
        value, said = wear.value(name), name.replace("_", " ")
        if value is None:
            return Outside(name, f"the register for the {said} was never set")
        if not float(low) <= value <= float(high):
            limits_said = f"{units.mm(float(low))} to {units.mm(float(high))}"
            return Outside(name, f"{said} {units.mm(value)} is outside {limits_said}", above=value > float(high))
    if dress.turns:
        lane, most = wear.value("next_lane"), len(dress.turns)
        if lane is None:
            return Outside("next_lane", "the register for the next lane was never set")
        if lane not in range(1, most + 1):
            return Outside("next_lane", f"next lane {lane:g} is none of 1 to {most}", above=lane > most)
    return None


def acts(dress: Dress, step: Step) -> bool:
    """Whether ``step`` does more than a block may do before it refuses."""
    match step:
        case Move():
            parked, axis = dress.dresser.parked_at, dress.dresser.way
            return step.axes != (axis,) or parked is None or not stands_at(parked, step.to.get(axis))
        case Spindle():
            return step.direction != "off"
        case Coolant():
            return step.on
        case Aux():
            return step.function == "feeder-on"
        case Write():
            return True
    return False


def compared_at(block: DressBlock, dress: Dress, acting: int, unset: Outside | None) -> int | None:
    """The line most likely at fault: where the register is compared with the limit that it breaks.

    A reading tells where a register was read, not what for. Blocks compare it
    with its lower limit, then with its upper one, then use it; where a reading
    is missing, the comparison was jumped over by the one before it.
    """
    number = None if unset is None else dress.register_numbers.get(unset.name)
    if unset is None or number is None:
        return None
    reads = [read for read in block.reads if read.step <= acting]
    places = [place for place, read in enumerate(reads) if read.register == number]
    if not places:
        return reads[-1].line if reads else None
    if unset.name == "in_progress":
        return reads[places[0]].line
    if len(places) > 2:
        return reads[places[1 if unset.above else 0]].line
    return reads[places[0] if unset.above else max(places[0] - 1, 0)].line
