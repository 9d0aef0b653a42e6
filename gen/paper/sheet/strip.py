"""The few numbers that stand large at the top of the sheet."""

from __future__ import annotations

from collections.abc import Sequence
from types import SimpleNamespace
from typing import Literal, TypeAlias

from gen.control.draft import Program
from gen.paper.dressing import Dressing
from gen.paper.shown import Shown, change

Repeat: TypeAlias = Literal["once", "first-opening", "every", "by-hand", "each-call"]


def strip(program: Program, here: Dressing, wear: Sequence[Dressing], shown: Shown) -> SimpleNamespace:
    """The strip of ``program``; ``here`` is the dress its sheet is about, ``wear`` goes from new to worn wheel.

    ``rpm``, ``speed`` and ``feed`` go from a new wheel to a worn one where the program reads the wheel's size.
    ``repeat``: right for one dress alone (``once``), for the one after truing (``first-opening``), made every ``parts``
    parts (``every``; ``by-hand``: and the stand-off set again after each), or whenever it is called (``each-call``).
    ``plunges`` are those of one dress, ``depth`` that of each.
    """
    dress = program.dress
    new, worn = (wear[0], wear[-1]) if program.by_registers else (here, here)
    return SimpleNamespace(
        rpm=_large(change(shown.rpm(new.rpm), shown.rpm(worn.rpm))),
        speed=change(shown.speed(new.speeds[0]), shown.speed(worn.speeds[0])),
        feed=_large(change(shown.feed(new.feed), shown.feed(worn.feed))),
        plunges=len(here.contacts.plunges),
        depth=_large(shown.length(dress.settings.plunge)),
        repeat=_repeat(program),
        parts=dress.settings.every_parts or 0,
    )


def _repeat(program: Program) -> Repeat:
    dress = program.dress
    if program.edition.after_truing:
        return "first-opening"
    valve = dress.dresser.valve
    if valve is not None and not valve.self_adjusting:
        return "by-hand" if dress.settings.every_parts else "once"
    if not program.by_registers and dress.dresser.needs_length:
        return "once"
    return "every" if dress.settings.every_parts else "each-call"


def _large(text: str) -> SimpleNamespace:
    """A value whose ``number`` stands large, its ``unit`` beside it; ``unit`` may be empty."""
    number, _, unit = text.rpartition(" ")
    return SimpleNamespace(number=number, unit=unit)
