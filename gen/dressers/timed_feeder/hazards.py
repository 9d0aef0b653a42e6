"""What an interrupted dress may leave in a turning wheel: a feeder that stays out, or goes on."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.errors import listed
from gen.dressers.timed_feeder.keys import TimedFeederKeys

_WHEN = {"on_hold": "a feed hold", "on_reset": "a reset", "on_power_loss": "a loss of power"}


def feeder_hazards(feeder: TimedFeederKeys) -> Iterator[str]:
    """A sentence for each answer of the machine file that is not safe, or not known."""
    does = {key: str(getattr(feeder, key)) for key in _WHEN}
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
    if feeder.single_block == "unknown":
        yield (
            "nothing says that single block cannot stop between feeder-on and its dwell, which would leave the stick "
            'in the wheel; give dresser.single_block = "one-line" if the control takes both in one line and switches '
            'first, or "inhibited" if the machine ignores single block while the feeder is on.'
        )
