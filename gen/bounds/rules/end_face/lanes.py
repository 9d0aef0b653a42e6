"""Other lanes for the wheels, so that no slot or shoulder is left."""

from collections.abc import Iterator

from gen.bounds import changes
from gen.bounds.kit import Change, Dress


def everywhere(dress: Dress) -> Iterator[Change]:
    """Every lane visited by the wheel, so that no slot is left."""
    for wheel in dress.wheels:
        if wheel.settings.lanes == "one":
            yield Change("recipe", wheel.key("dress.lanes"), "all", 'With lanes = "all" it fits.')


def elsewhere(dress: Dress, met: list[int]) -> Iterator[Change]:
    """A lane that no other wheel uses, for a wheel that has one lane; else every lane."""
    for number in met:
        wheel = dress.wheels[number]
        if wheel.settings.lanes == "one":
            yield from changes.free_lane(dress, wheel)
    yield from everywhere(dress)
