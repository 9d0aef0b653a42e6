"""Where in a block a timed feeder is switched."""

from __future__ import annotations

from gen.bounds.block import DressBlock
from gen.bounds.contacts import Plunge
from gen.plan.step import Aux, Step


def feeder(step: Step, *functions: str) -> bool:
    """Whether ``step`` switches a timed feeder or waits for it, or does one of the ``functions`` named."""
    wanted = functions or ("feeder-off", "feeder-retracted")
    return isinstance(step, Aux) and step.function in wanted


def first_off(block: DressBlock, plunge: Plunge) -> int | None:
    """The number of the step that switches the feeder off after ``plunge`` has begun; None if none does."""
    after = range(plunge.enters, block.run.stop)
    return next((index for index in after if feeder(block.reading.steps[index], "feeder-off")), None)
