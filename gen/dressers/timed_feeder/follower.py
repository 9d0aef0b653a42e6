"""What a timed feeder does, as moves of an axis of its own: how far it stands out after each step."""

from __future__ import annotations

from gen.physics.valve import Valve
from gen.plan.step import Aux, Dwell, Move, Step


class FeederFollower:
    """A feeder that runs at its valve's rate for as long as the program dwells, and comes back once it is off.

    Where it stands before the block has switched it off and waited, nobody
    knows. It counts as back after ``longest_return`` s of dwell, or the word that
    waits for the signal. Positions are mm out of where it rested at set-up, along
    ``way``; a self-adjusting one rests a stand-off short of where the stick's end was left.
    """

    def __init__(self, valve: Valve, longest_return: float, way: str) -> None:
        self.valve = valve
        self.needed = longest_return
        self.way = way
        self.rest = 0.0
        self.out = 0.0
        self.on = False
        self.waited: float | None = None

    def stroke(self, step: Step) -> Move | None:
        """What ``step`` makes the feeder do, if anything."""
        match step:
            case Aux(function="feeder-on"):
                self.on, self.waited = True, None
            case Aux(function="feeder-off"):
                self.on = False
                self.waited = 0.0 if self.waited is None else self.waited
            case Aux(function="feeder-retracted") if self.waited is not None:
                return self._back(step.line)
            case Dwell() if self.on:
                self.out += float(self.valve.rate) * step.seconds / 60
                return self._move(step.line, float(self.valve.rate))
            case Dwell() if self.waited is not None:
                self.waited += step.seconds
                if self.waited >= self.needed - 1e-6:
                    return self._back(step.line)
        return None

    def _back(self, line: int) -> Move:
        self.waited = None
        if self.valve.self_adjusting:
            self.rest = max(self.rest, self.out - float(self.valve.stand_off))
        self.out = self.rest
        return self._move(line, None)

    def _move(self, line: int, rate: float | None) -> Move:
        return Move("rapid" if rate is None else "feed", line, {self.way: self.out}, rate, (self.way,), "machine")
