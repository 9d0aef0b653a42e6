"""The gaps of a gap check: where the stick stops for each wheel, and how far it has to stay off."""

from gen.bounds.kit import Dress, Wheel
from gen.physics.contact import along_plunge


def gap_of(dress: Dress, wheel: Wheel) -> float:
    """How far the stick stays off ``wheel`` along the plunge, mm."""
    return along_plunge(wheel.geometry, float(dress.dresser.measured_gap or 0))


def least_gap(dress: Dress) -> float:
    """The least of all wheels, mm."""
    return min(gap_of(dress, wheel) for wheel in dress.wheels)
