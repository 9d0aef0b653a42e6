"""Timed feeder: no axis moves the stick; a valve sets its speed, and a dwell how far it goes."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from decimal import Decimal
from typing import ClassVar

from pydantic import model_validator

from gen.base.errors import Disagreement, DressblockError, Problem, listed
from gen.dressers.kind import SET_UPS, Corner, WearRange
from gen.dressers.timed_feeder.follower import FeederFollower
from gen.dressers.timed_feeder.keys import TimedFeederKeys
from gen.dressers.timed_feeder.presses import dry_presses, presses, withdrawn
from gen.physics.contact import Geometry
from gen.physics.lanes import Lanes
from gen.plan.step import Move, Step

_WHEN = {"on_hold": "a feed hold", "on_reset": "a reset", "on_power_loss": "a loss of power"}


class TimedFeeder(TimedFeederKeys):
    """A feeder that goes out by time; positions are mm out of where it rested at set-up."""

    NAME = "a timed feeder"
    WRITTEN = 'kind = "timed"'
    LACKS = "a timed feeder has no plunge axis, its rate and its dwell decide"
    begin: ClassVar = withdrawn
    plunges: ClassVar = presses
    held_off: ClassVar = dry_presses

    @model_validator(mode="after")
    def _set_up_for_each(self) -> TimedFeeder:
        if not self.self_adjusting and self.dresses_per_set_up not in (None, 1):
            said = (
                "each dress makes the stick shorter and so the stand-off greater, so that it is set anew after every "
                "dress; take this key out, or write self_adjusting = true if the feeder takes up what the stick has "
                "lost."
            )
            raise Disagreement([Problem("dresses_per_set_up", said)])
        return self

    @property
    def axis(self) -> None:
        return None

    @property
    def sign(self) -> int:
        return 1

    @property
    def feed_limits(self) -> tuple[Decimal, Decimal]:
        return self.rate, self.rate

    @property
    def per_set_up(self) -> int:
        return self.dresses_per_set_up or (SET_UPS if self.self_adjusting else 1)

    @property
    def gap(self) -> Decimal:
        return self.stand_off

    @property
    def keeps_clear(self) -> Decimal:
        return self.stand_off

    def contact(self, geometry: Geometry, size: float, length: float, stands: float | None = None) -> float:
        """A stand-off out, whatever wheel and stick are."""
        return float(self.stand_off)

    def corners(self, wear: WearRange) -> Iterator[Corner]:
        """The wheel new and worn."""
        worn, new = wear.sizes[0]
        yield from (Corner((size,)) for size in dict.fromkeys((new, worn)))

    def refusals(self, lanes: Lanes, *, one_lane: bool) -> Iterator[str]:
        """It goes back by no more than its stand-off, which a stick wider than the wheel cannot do with."""
        if not lanes.stick_is_wider:
            return
        if one_lane:
            yield (
                "the slot that one lane cuts grows deeper than the feeder's stand-off, and the wheel would still stand "
                'in it when other axes move; write lanes = "all", or use a stick no wider than the wheel.'
            )
        elif self.self_adjusting and len(lanes.offsets) > 1:
            yield (
                "a self-adjusting feeder goes back by its stand-off from where one lane ended, and the next, not yet "
                "cut, would be met too soon; use a stick no wider than the wheel."
            )

    def check_words(self, codes: Mapping[str, str], dwell: str) -> None:
        for key, what, word in (
            ("feeder_on", "lets the feeder out", "M71"),
            ("feeder_off", "lets it come back", "M72"),
        ):
            if key not in codes:
                raise DressblockError(
                    f'this key is missing; it gives the word that {what}, such as {key} = "{word}".', key=f"codes.{key}"
                )
        taken = [word[0] for word in codes["feeder_on"].split()[1:]]
        if self.one_line and dwell in taken:
            raise DressblockError(
                f'"{codes["feeder_on"]}" and the dwell both need the word {dwell}, so that they cannot stand in one '
                'line; use another word, or single_block = "inhibited" if the machine ignores single block between '
                "them.",
                key="codes.feeder_on",
            )

    def hazards(self) -> Iterator[str]:
        """A sentence for each answer of the machine file that is not safe, or not known."""
        does = self.interruptions
        for answer, what in (("stays", "stays where it is"), ("advances", "goes on")):
            keys = [key for key in _WHEN if does[key] == answer]
            if keys:
                yield (
                    f"on {listed((_WHEN[key] for key in keys), 'and')} the feeder {what}, the stick in a turning wheel "
                    f"and no dwell to end it; it must retract by itself ({listed(keys, 'and')})."
                )
        unknown = [key for key in _WHEN if does[key] == "unknown"]
        if unknown:
            yield (
                "the machine file does not say what the feeder does on "
                f"{listed((_WHEN[key] for key in unknown), 'and')}; find out, and give {listed(unknown, 'and')} in "
                '[dresser]: only "retracts" is safe.'
            )
        if self.single_block == "unknown":
            yield (
                "nothing says that single block cannot stop between feeder-on and its dwell, which would leave the "
                'stick in the wheel; give dresser.single_block = "one-line" if the control takes both in one line and '
                'switches first, or "inhibited" if the machine ignores single block while the feeder is on.'
            )

    def follower(self) -> Callable[[Step], Move | None]:
        return FeederFollower(self.valve, self.longest_return, self.way).stroke

    @property
    def longest_return(self) -> float:
        return float(self.retract_wait)

    @property
    def interruptions(self) -> Mapping[str, str]:
        return {key: str(getattr(self, key)) for key in (*_WHEN, "single_block")}
