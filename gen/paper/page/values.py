"""What the page's template and its script get: texts, ready to be shown, and numbers for the drawing."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from gen.base.dataclass import dataclass
from gen.base.finding import Finding
from gen.paper.page.moments import PageMoment
from gen.paper.page.play import Play
from gen.paper.page.scene import Stand
from gen.paper.shown import Shown
from gen.plan.step import Register


@dataclass(frozen=True)
class Teller:
    """Tells moments in the shop's units and a language's ``words``; ``names``: registers by number."""

    shown: Shown
    words: Mapping[str, str]
    names: Mapping[Register, str]
    findings: Sequence[Finding]
    axis: str

    def play(self, play: Play) -> dict[str, Any]:
        """One play for the script."""
        rows = [self.moment(moment) for moment in play.moments]
        return {"choice": play.chosen, "moments": rows, "scene": play.scene, "halt": play.halt}

    def moment(self, moment: PageMoment) -> dict[str, Any]:
        stand = moment.stand
        return {
            "line": moment.line,
            "kind": moment.kind,
            "what": self.what(moment),
            "position": self.position(moment),
            "feed": self.feed(moment),
            "rapid": moment.kind == "rapid",
            "spindle": self.spindle(moment),
            "coolant": self.switch(moment.coolant),
            "lock": self.switch(moment.locked),
            "registers": self.registers(moment),
            "gap": self.gap(stand),
            "contact": self.contact(stand),
            "groove": self.groove(stand),
            "finding": [finding.message for finding in self.findings if finding.line == moment.line and moment.line],
            "seconds": round(moment.seconds, 3),
            "depth": 0 if stand.gap is None or stand.gap >= 0 else round(-stand.gap, 4),
            "seat": None if stand.seat is None else round(stand.seat, 4),
            "across": None if stand.across is None else round(stand.across, 4),
            "before": stand.before,
            "end": [] if stand.end is None else [[round(at, 4) for at in one] for one in stand.end.stretches],
            "turning": moment.direction if moment.rpm else "off",
            "flowing": moment.coolant is True,
        }

    def what(self, moment: PageMoment) -> str:
        """What happens, in a word and its target."""
        word = self.words[moment.kind]
        match moment.kind:
            case "rapid" | "feed" | "arc":
                there = [axis for axis in moment.moved if axis in moment.positions]
                to = ", ".join(self.place(axis, moment.positions[axis]) for axis in there)
                return f"{word} {to}".strip()
            case "spindle":
                return f"{word}: {self.spindle(moment)}"
            case "coolant":
                return f"{word}: {self.switch(moment.coolant)}"
            case "write" if moment.written is not None:
                return f"{word} {self.register(moment.written, moment.registers[moment.written])}"
            case "aux" if moment.locked is not None and not moment.text:
                return word
        return f"{word} {moment.text}".strip()

    def place(self, axis: str, value: float) -> str:
        return f"{axis} {self.shown.place(axis, value)}"

    def position(self, moment: PageMoment) -> str:
        known = " · ".join(self.place(axis, value) for axis, value in moment.positions.items())
        return known or self.words["unknown"]

    def feed(self, moment: PageMoment) -> str:
        if moment.kind == "rapid":
            return self.words["rapid"]
        return self.shown.feed(moment.rate) if moment.rate is not None else "–"

    def spindle(self, moment: PageMoment) -> str:
        if moment.rpm is None or moment.direction is None:
            return self.words["unknown"]
        if moment.direction == "off":
            return self.words["off"]
        return f"{self.shown.rpm(moment.rpm)} {self.words[moment.direction]}"

    def switch(self, on: bool | None) -> str:
        return self.words["unknown"] if on is None else self.words["on" if on else "off"]

    def registers(self, moment: PageMoment) -> list[list[Any]]:
        """Name and value of each register, and whether this step wrote it."""
        return [[self.register(one, value), one == moment.written] for one, value in moment.registers.items()]

    def register(self, register: Register, value: float | None) -> str:
        name = self.names.get(register)
        told = self.words["empty"] if value is None else self.shown.number(value, 4)
        return f"{register}{f' {name}' if name else ''} = {told}"

    def gap(self, stand: Stand) -> str:
        if stand.gap is None:
            return self.words["unknown"]
        if math.isinf(stand.gap):
            return self.words["beside"]
        if stand.gap < 0:
            return f"{self.words['depth']} {self.shown.length(-stand.gap)}"
        return self.shown.length(stand.gap)

    def contact(self, stand: Stand) -> str:
        """Where the plunge axis would be at contact."""
        if stand.contact is None:
            return self.words["unknown"]
        return self.place(self.axis, stand.contact) if self.axis else self.shown.length(stand.contact)

    def groove(self, stand: Stand) -> str:
        return self.words["unknown"] if stand.end is None else self.shown.length(max(0.0, stand.end.deepest))
