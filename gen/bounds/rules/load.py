"""Stick is not removed faster than the dresser may, and does not stand out of its clamp further.

The warning past six times the stick's height, where nothing guides the stick
and no ``max_overhang`` is given, is a judgement without a source: a stick so
slender may break or chatter, which depends on force and clamp.
"""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.finding import Fault
from gen.bounds import changes
from gen.bounds.advice_feed import lower_feed
from gen.bounds.case import Case
from gen.bounds.registry import rule
from gen.bounds.rounding import feed_slack

SLENDER = 6
"""Times the stick's height that it may stand out unguided before a warning."""


@rule("load")
def check(case: Case) -> Iterator[Fault]:
    yield from _overhang(case)
    most = case.known.machine.dresser.max_removal
    if most is None:
        return
    for plunge in case.contacts.plunges:
        wheel = case.of(plunge)
        for line, feed in case.feeds(plunge):
            rate = wheel.removal(feed - feed_slack(case, feed))
            if rate > float(most):
                yield Fault(
                    line,
                    f"the plunge removes {case.removal(wheel.removal(feed))} of stick; this dresser's "
                    f"max_removal is {case.removal(float(most))}.",
                    tuple(lower_feed(wheel, float(most) / wheel.removal(1.0))),
                    amount=rate / float(most),
                )


def _overhang(case: Case) -> Iterator[Fault]:
    dress = case.known
    dresser, out, height = dress.machine.dresser, float(dress.overhang), dress.first.geometry.stick_height
    if dresser.max_overhang is not None and dress.overhang > dresser.max_overhang:
        yield Fault(
            None,
            f"a new stick stands {case.mm(out)} out of its clamp; this dresser's max_overhang is "
            f"{case.mm(float(dresser.max_overhang))}.",
            tuple(changes.new_stick(dress, dress.stick.length - (dress.overhang - dresser.max_overhang), "down")),
            amount=out,
        )
    elif dresser.max_overhang is None and not dresser.guided and out > SLENDER * height:
        yield Fault(
            None,
            f"a new stick stands {case.mm(out)} out of its clamp, more than {SLENDER} times its height of "
            f"{case.mm(height)}, and nothing guides it (a judgement, not a limit of the dresser); "
            "look for chatter, or give max_overhang or guided in the machine file.",
            severity="warning",
        )
