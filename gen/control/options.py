"""What the person who generates may choose beside the recipe."""

from __future__ import annotations

from dataclasses import field
from typing import TYPE_CHECKING

from gen.base.dataclass import dataclass
from gen.base.errors import DressblockError
from gen.shop.dress import Dress
from gen.shop.edition import Edition, Form, Purpose
from gen.shop.wheel import Wheel

if TYPE_CHECKING:
    from collections.abc import Mapping
    from decimal import Decimal
    from pathlib import Path

    from gen.plan.node import Node
    from gen.plan.step import Register
    from gen.shop.recipe import Recipe


@dataclass(frozen=True, slots=True)
class Options:
    """The edition, the state and the surroundings of a program; lengths mm.

    ``form``: the recipe's own unless given. ``diameters`` are those of a pack's
    wheels, in the recipe's order. ``resolve`` asks for numbers on a control that
    has variables. ``language`` is that of the sheet and of the remarks at the
    program's head. Of a grinding program around a block: ``ending`` and
    ``leaves`` are the nodes with which the block ends there and the modes it
    leaves, ``at_speed`` that the spindle was waited for at the speed of the
    dress, ``begins`` registers that it finds set when it begins, ``taken`` the
    line numbers which it has already, and ``labels`` those that the block may
    use: all of the machine's unless given.
    """

    form: Form | None = None
    diameter: Decimal | None = None
    gauge: Decimal | None = None
    diameters: tuple[Decimal, ...] = ()
    length: Decimal | None = None
    slide_position: Decimal | None = None
    resolve: bool = False
    purpose: Purpose = "dress"
    after_truing: bool = False
    control_folders: tuple[Path, ...] = ()
    ending: tuple[Node, ...] | None = None
    leaves: Mapping[str, str] | None = None
    at_speed: bool = False
    begins: Mapping[Register, float] = field(default_factory=dict)
    taken: frozenset[int] = frozenset()
    labels: tuple[int, ...] | None = None
    language: str = "en"

    @property
    def given(self) -> tuple[str, ...]:
        """The options, as on the command line, that state a wheel or stick."""
        stated = {
            "--wheel-diameter": self.diameter or self.diameters,
            "--wheel-gauge": self.gauge,
            "--stick-length": self.length,
            "--slide-position": self.slide_position,
        }
        return tuple(name for name, value in stated.items() if value not in (None, ()))

    def edition(self, recipe: Recipe) -> Edition:
        """Which program of ``recipe`` is asked for, before it is known whether it can count parts."""
        return Edition(self.form or recipe.form, self.after_truing, self.purpose, at_speed=self.at_speed)

    def sizes(self, dress: Dress) -> tuple[Decimal, ...]:
        """The size of each wheel that the contact depends on: as chosen, else new.

        :class:`DressblockError` if the other size was given, or not one for each wheel.
        """
        count = len(dress.wheels)
        given = self.diameters or (() if self.diameter is None else (self.diameter,))
        if count == 1:
            if len(given) > 1:
                raise DressblockError("this recipe has one wheel; give its size once.")
            return (self._size(dress.first, next(iter(given), None)),)
        if self.gauge is not None or (given and len(given) != count):
            raise DressblockError(
                f"this recipe has {count} wheels; give --wheel-diameter {count} times, in the recipe's order."
            )
        return given or tuple(new for _, new in dress.sizes.values())

    def _size(self, wheel: Wheel, diameter: Decimal | None) -> Decimal:
        either = (self.gauge, diameter, "--wheel-gauge"), (diameter, self.gauge, "--wheel-diameter")
        chosen, other, name = either[0 if wheel.face else 1]
        if other is not None:
            raise DressblockError(f"this wheel's contact depends on its {wheel.size_name.split('_')[1]}; give {name}.")
        return wheel.size_range[1] if chosen is None else chosen
