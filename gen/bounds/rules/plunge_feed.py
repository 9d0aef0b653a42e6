"""The feed in contact is within the dresser's range, and the approach is no faster."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.finding import Fault
from gen.base.quantities import plain
from gen.bounds.advice_feed import dress_speed, higher_feed, lower_feed, wanted_feed
from gen.bounds.case import Case
from gen.bounds.registry import rule
from gen.bounds.rounding import feed_slack
from gen.shop.wheel import Wheel


@rule("plunge-feed")
def check(case: Case) -> Iterator[Fault]:
    dress = case.known
    low, high = (float(end) for end in dress.machine.dresser.feed)
    kind = dress.machine.dresser.kind
    entering = {plunge.enters: case.of(plunge) for plunge in case.contacts.plunges}
    for index, move in case.moves:
        if dress.machine.dresser.plunge_axis not in move.axes or move.op == "rapid":
            continue
        depth = case.contacts.gaps.get(index)
        inside = index in entering or (depth is not None and depth < 0)
        wheel = entering.get(index, dress.first)
        if move.rate is None:
            if inside:
                yield Fault(move.line, "the stick meets the wheel at a feed that nothing in this program states.")
        elif move.rate > high + feed_slack(case, high):
            most = min(high, float(dress.machine.axes[case.plunge_axis].max_feed))
            help_ = tuple(lower_feed(wheel, most)) if inside else ()
            brought = f"the stick is brought to the wheel at {case.feed(move.rate)}"
            said = _said(case, wheel, move.rate) if inside else brought
            yield Fault(move.line, f"{said}; this {kind} allows {case.feed(high)}.", help_, amount=move.rate / high)
        elif inside and move.rate < low - feed_slack(case, low):
            yield Fault(
                move.line,
                f"{_said(case, wheel, move.rate)}; this {kind} runs at no less than {case.feed(low)}.",
                tuple(higher_feed(wheel, low)),
                amount=low / max(move.rate, 1e-9),
            )


def _said(case: Case, wheel: Wheel, rate: float) -> str:
    size = case.size_of(wheel)
    wanted = wanted_feed(wheel, size)
    if abs(wanted - rate) > feed_slack(case, wanted):
        return f"the plunge runs at {case.feed(rate)}"
    target = plain(wheel.settings.aggressiveness, 2, strip=True)
    return f"{target} at {case.speed(dress_speed(wheel, size))} wants {case.feed(wanted)}"
