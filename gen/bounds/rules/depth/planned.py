"""What a recipe plans for a plunge, as the files of this family ask it."""

from decimal import Decimal

from gen.bounds.kit import Dress

LEAST = Decimal("0.1")
"""mm. Twenty times what contact and depth may be off by rounding."""


def depths(dress: Dress) -> tuple[Decimal, Decimal]:
    """Least and greatest depth of a plunge, mm; they differ where a valve may run slow or fast."""
    return dress.dresser.depths(dress.settings.plunge)


def lanes_without_axis(dress: Dress) -> bool:
    """Whether the stick needs plunges side by side and no axis moves between them."""
    return len(dress.first.lanes.offsets) > 1 and dress.machine.dresser.lateral_axis is None
