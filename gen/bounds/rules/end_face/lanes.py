"""How deep a slot in the stick's end may be, and other lanes for the wheels, so that no slot or shoulder is left."""

from collections.abc import Iterator

from gen.bounds import changes
from gen.bounds.kit import Change, Dress


def deepest_slot(dress: Dress, wall: float, by_wall: str) -> tuple[float, str]:
    """The deepest slot in mm that a ``wall`` of that width, rims and stand-off allow, and which of them does."""
    limits = {2 * wall: by_wall}
    if dress.dresser.per_set_up is not None:
        # it goes back by its stand-off only, and from inside the slot the wheel cannot go sideways
        limits[float(dress.dresser.gap)] = "the stand-off that draws the wheel out of it"
    rims = [float(wheel.rim_depth) for wheel in dress.recipe.wheels if wheel.rim_depth is not None]
    if rims:
        limits[min(rims)] = "the depth of the rim"
    return min(limits.items())


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
