"""The datum of a machine's dresser from a file of touches."""

from __future__ import annotations

from pathlib import Path

from gen.base.dataclass import dataclass
from gen.base.errors import DressblockError, listed
from gen.physics.contact import Geometry
from gen.physics.datum import Datum, Touch, datum_from
from gen.power.table import column_of, optional_column, table_of, text_of
from gen.shop.dress import Dress
from gen.shop.load import load_machine, load_recipe

POSITION, LENGTH = "position_mm", "stick_length_mm"
SIZES = ("wheel_diameter_mm", "wheel_gauge_mm")
LEAST_DIFFERENCE = 1.0
"""mm by which stick or wheel must differ for the touches to tell a wrong length or diameter from a wrong datum."""


@dataclass(frozen=True, slots=True)
class Measured:
    """What the touches say, the line of each, and whether stick or wheel differed between them."""

    datum: Datum
    lines: tuple[int, ...]
    varied: bool

    def agrees(self, within: float) -> bool:
        """Whether no two touches differ by more than ``within`` mm."""
        return self.datum.spread <= within

    @property
    def worst(self) -> tuple[int, float]:
        """The line of the touch that is furthest off, and by how much, mm."""
        return max(zip(self.lines, self.datum.residuals, strict=True), key=lambda pair: abs(pair[1]))


def measured(path: Path, machine_path: Path, recipe_path: Path | None = None) -> Measured:
    """The datum from the touches in the CSV file ``path``.

    An inclined plunge needs the recipe of the stick and wheel that were touched.
    :class:`DressblockError` names the line or key of whatever cannot be used.
    """
    machine = load_machine(machine_path)
    dresser = machine.dresser
    if dresser.datum_position is None:
        raise DressblockError(
            "this dresser works from a stand-off and has no datum to measure.", file=machine_path, key="dresser.datum"
        )
    try:
        lines, touches, face = _touches(text_of(path))
    except DressblockError as error:
        raise error.within(path) from None
    if recipe_path is not None:
        geometry = Dress(load_recipe(recipe_path), machine).first.geometry
        if geometry.face != face:
            raise DressblockError(
                f"the wheel of {recipe_path} meets the stick with its {'face' if geometry.face else 'periphery'}, so "
                f"that its size is wanted in a column {SIZES[geometry.face]}.",
                file=path,
            )
    elif dresser.inclination:
        raise DressblockError(
            "this dresser is inclined, so that the widths of stick and wheel count; name their recipe with --recipe.",
            file=machine_path,
            key="dresser.inclination",
        )
    else:
        geometry = Geometry(face=face, wheel_width=0.0, stick_width=0.0, stick_height=0.0)
    varied = any(
        max(values) - min(values) >= LEAST_DIFFERENCE
        for values in ([touch.length for touch in touches], [touch.size for touch in touches])
    )
    return Measured(datum_from(geometry, touches, dresser.sign), tuple(lines), varied)


def _touches(text: str) -> tuple[list[int], list[Touch], bool]:
    """The lines and touches of a file, and whether they were on a wheel's face."""
    header, rows = table_of(text, f"this file is empty; its first line must be {POSITION},{LENGTH},{SIZES[0]}.")
    sizes = [name for name in SIZES if optional_column(header, name) is not None]
    if len(sizes) != 1:
        both = "both are there" if sizes else "neither is there"
        raise DressblockError(f"one column of {listed(SIZES, 'and')} is wanted, and {both}.")
    places = [column_of(header, name) for name in (POSITION, LENGTH, sizes[0])]
    lines, touches = [], []
    for row in rows:
        position, length, size = map(row.number, places)
        if length <= 0 or size <= 0:
            raise DressblockError(f"line {row.line}: the lengths of stick and wheel must be more than 0.")
        lines.append(row.line)
        touches.append(Touch(position, length, size))
    if len(touches) < 2:
        raise DressblockError(
            f"{len(touches)} touch is in this file; two or more are wanted, with another stick or wheel, so that a "
            "mistake shows."
        )
    return lines, touches, sizes[0] == SIZES[1]
