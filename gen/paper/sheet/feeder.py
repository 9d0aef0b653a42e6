"""What the sheet says of a timed feeder: its valve, what comes of it, and what maintenance has to keep so."""

from __future__ import annotations

from types import SimpleNamespace

from gen.bounds.advice_valve import aggressiveness_ends
from gen.control.draft import Program
from gen.paper.shown import Shown, span
from gen.plan.node import Press, walk


def feeder_told(program: Program, shown: Shown) -> SimpleNamespace | None:
    """What the sheet of ``program`` says of its feeder; None where an axis moves the stick.

    ``dwells`` are those of one dress in order, each once; ``signal`` is the word that waits, or empty: ``back_after``.
    ``hold``, ``reset``, ``power`` and ``single_block`` are the answers of the machine file; ``new_gap`` is by how much
    the stand-off grows in a dress, empty for a feeder that adjusts itself.
    """
    dress = program.dress
    dresser, valve = dress.dresser, dress.dresser.valve
    if valve is None:
        return None
    answers = dresser.interruptions
    sizes = [float(size) for size in dress.first.size_range]
    ends = [end for size in sizes for end in aggressiveness_ends(dress.first, valve, size, dress.first.rpm(size))]
    wanted = [dress.first.target_feed(size) for size in sizes]
    presses = dict.fromkeys(node.seconds for node in walk(program.plan.nodes) if isinstance(node, Press))
    return SimpleNamespace(
        rate=shown.feed(valve.rate),
        tolerance=f"{shown.number(valve.tolerance * 100, 2)} %",
        rates=span(*(shown.feed(rate) for rate in valve.rates)),
        wanted=span(shown.feed(round(min(wanted), 1)), shown.feed(round(max(wanted), 1))),
        aggressiveness=span(shown.number(min(ends), 0), shown.number(max(ends), 0)),
        dwells=tuple(f"{shown.number(seconds, 3)} s" for seconds in presses),
        depths=span(*(shown.length(depth) for depth in valve.depths(dress.settings.plunge))),
        back_after=shown.seconds(dresser.longest_return),
        signal=program.dialect.control.codes.get("feeder_retracted", ""),
        hold=answers["on_hold"],
        reset=answers["on_reset"],
        power=answers["on_power_loss"],
        single_block=answers["single_block"],
        new_gap="" if valve.self_adjusting else shown.length(dress.stick_per_dress),
        least_stick=shown.length(dress.shortest_left + dress.stick_per_set_up),
    )
