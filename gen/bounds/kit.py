"""What the file of a rule is written with: how it is registered, what it may ask for, and what it yields."""

from gen.base.finding import Change, Fault
from gen.base.measure import NOISE, Measure, Side
from gen.bounds.block import DressBlock
from gen.bounds.case import ANY, MOVING, Expected
from gen.bounds.contacts import TOLERANCE, Contacts, Plunge, stands_at
from gen.bounds.marks import Marks
from gen.bounds.registry import Found, bound
from gen.bounds.units import Units
from gen.bounds.wear import Wear
from gen.dressers.task import Abilities
from gen.reader.reading import Reading
from gen.shop.dress import Dress
from gen.shop.machine import Machine
from gen.shop.wheel import Wheel

__all__ = [
    "ANY", "MOVING", "NOISE", "TOLERANCE", "Abilities", "Change", "Contacts", "Dress", "DressBlock",
    "Expected", "Fault", "Found", "Machine", "Marks", "Measure", "Plunge", "Reading", "Side", "Units", "Wear",
    "Wheel", "bound", "stands_at",
]  # fmt: skip
