"""What the sheet of a gap check says: which gap must be measured at which wheel, and what it means if it differs."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from types import SimpleNamespace

from gen.control.draft import Program
from gen.control.render import clean
from gen.paper.dressing import dressing
from gen.paper.sheet.messages import messages
from gen.paper.sheet.values import identity, right, set_up
from gen.paper.shown import Shown, span
from gen.physics.contact import along_plunge
from gen.plan.node import Pause, walk
from gen.plan.step import Move, Stop
from gen.shop.wheel import Wheel

WITHIN = 0.2
"""mm that a good gap may be off: stick and diameter are measured to 0.1 mm or so (a judgement, no source)."""


def gap_check_told(program: Program, language: str = "en") -> SimpleNamespace:
    """What the sheet of the gap check ``program`` says, its numbers as ``language`` has them.

    What a dress's sheet has as well is called the same. ``share`` is by how much a difference of the gap has to be
    multiplied to be one of the datum, empty for 1. ``prove_out`` numbers the program that comes next.
    """
    dress, shown = program.dress, Shown(program.dress.machine.units, language)
    here = dressing(program, program.state)
    share = along_plunge(dress.first.geometry, 1.0)
    feeds = [step.rate for step in here.steps if isinstance(step, Move) and step.rate is not None]
    named = identity(program)
    return SimpleNamespace(
        identity=named,
        right=right(program, here, shown),
        set_up=set_up(dress, shown),
        messages=messages(program),
        gaps=tuple(_gaps(program, shown)),
        gap=shown.length(dress.dresser.measured_gap or 0),
        feed=shown.feed(max(feeds, default=0.0)),
        within=shown.tolerance(WITHIN),
        share="" if share == 1 else shown.number(share, 3),
        prove_out=named.prove_out,
        pack=len(dress.wheels) > 1,
        feeder=None,
    )


def _gaps(program: Program, shown: Shown) -> Iterator[SimpleNamespace]:
    """The gap at each wheel, in the order in which the program comes to them; ``number`` 0 is the only one.

    ``places`` are the other axes there, ``stops_at`` is the plunge axis, at the sheet's wheel and stick. ``shows`` is
    what the program says where it stops, ``gap`` what must be measured, of a taper from a stick that has bedded in to
    a square one.
    """
    dress, axis = program.dress, program.dress.dresser.way
    here = dressing(program, program.state)
    said = [node.look_at for node in walk(program.plan.nodes) if isinstance(node, Pause)][1:]
    moves = [step for step in here.steps if isinstance(step, (Move, Stop))]
    stops = [
        one
        for one, after in itertools.pairwise(moves)
        if isinstance(one, Move) and one.rate is not None and isinstance(after, Stop)
    ]
    for wheel, look_at, stop in zip(dress.wheels, said, stops, strict=True):
        beside = {letter: place for letter, place in stop.to.items() if letter != axis}
        yield SimpleNamespace(
            number=wheel.number,
            name=wheel.keys.name,
            places=shown.places(beside),
            stops_at=f"{axis} {shown.length(stop.to[axis])}",
            shows=clean(look_at, program.dialect.control),
            gap=_measured(wheel, shown),
        )


def _measured(wheel: Wheel, shown: Shown) -> str:
    """What a feeler gauge must find; on a taper less where the stick's end has bedded in: g cos α."""
    gap = float(wheel.machine.dresser.measured_gap or 0)
    bedded = gap * wheel.geometry.cosine if wheel.geometry.tapered else gap
    return span(shown.length(round(bedded, 2)), shown.length(gap))
