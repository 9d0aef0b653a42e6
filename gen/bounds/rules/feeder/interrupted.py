"""A timed feeder retracts by itself on hold, reset and power loss, and single block cannot stop it in the wheel."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.errors import listed
from gen.base.finding import Fault
from gen.bounds.registry import bound
from gen.bounds.wear import Wear
from gen.shop.dress import Dress

_WHEN = {"on_hold": "a feed hold", "on_reset": "a reset", "on_power_loss": "a loss of power"}


@bound(
    "feeder",
    intents=("dress", "prove-out"),
    why="An interruption must not leave the stick in a turning wheel with no dwell to end it.",
    example='on_reset = "stays"',
    helps="Have the feeder piped so that it retracts, find out what it does, and say so in the machine file.",
)
def interrupted(dress: Dress, wear: Wear) -> Iterator[Fault]:
    said = [*_interrupted(dress), *_single_block(dress)] if dress.timed else []
    if said:
        yield Fault(None, " ".join(said))


def _interrupted(dress: Dress) -> Iterator[str]:
    dresser = dress.machine.dresser
    does = {key: str(getattr(dresser, key)) for key in _WHEN}
    for answer, what in (("stays", "stays where it is"), ("advances", "goes on")):
        keys = [key for key, given in does.items() if given == answer]
        if keys:
            yield (
                f"on {listed((_WHEN[key] for key in keys), 'and')} the feeder {what}, the stick in a turning wheel "
                f"and no dwell to end it; it must retract by itself ({listed(keys, 'and')})."
            )
    unknown = [key for key, given in does.items() if given == "unknown"]
    if unknown:
        yield (
            f"the machine file does not say what the feeder does on {listed((_WHEN[key] for key in unknown), 'and')}; "
            f'find out, and give {listed(unknown, "and")} in [dresser]: only "retracts" is safe.'
        )


def _single_block(dress: Dress) -> Iterator[str]:
    if dress.machine.dresser.single_block == "unknown":
        yield (
            "nothing says that single block cannot stop between feeder-on and its dwell, which would leave the stick "
            'in the wheel; give dresser.single_block = "one-line" if the control takes both in one line and switches '
            'first, or "inhibited" if the machine ignores single block while the feeder is on.'
        )
