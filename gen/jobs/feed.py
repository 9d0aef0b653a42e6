"""The quick answer, how fast to plunge and what errors at the machine make of it, as text and as a JSON value."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from gen.base.languages import told
from gen.paper.errors import by_watch, told_errors
from gen.paper.shown import Shown
from gen.physics.quick import QuickAnswer, tidy
from gen.physics.sensitivity import WATCH_MM, Sensitivity, watch_time


def quick_as_text(found: QuickAnswer, errors: Sensitivity, shown: Shown, language: str) -> str:
    """The answer in words, its numbers as they are ``shown``."""
    watched, seconds = by_watch(found.feed_mm_min, shown)
    values = {
        "wheel_speed": shown.speed(found.wheel_speed_m_s),
        "rpm": "" if found.rpm is None else shown.rpm(found.rpm),
        "aggressiveness": shown.number(found.aggressiveness, 1),
        "feed_per_minute": shown.feed(found.feed_mm_min),
        "feed_per_second": shown.feed_per_second(found.feed_mm_min),
        "time": "" if found.time_s is None else shown.seconds(found.time_s),
        "watch_length": watched,
        "watch": seconds,
        "low": shown.number(errors.band[0]),
        "high": shown.number(errors.band[1]),
        "within": errors.holds(errors.aggressiveness),
        "errors": told_errors(errors, shown),
    }
    return told(language, "feed", values)


def quick_as_object(found: QuickAnswer, errors: Sensitivity) -> dict[str, Any]:
    """The answer as a JSON object, its numbers in the units that their names end in."""
    return {
        **asdict(found),
        "band": list(errors.band),
        "sensitivity": [
            {
                "error": one.quantity,
                "value": one.error,
                "aggressiveness": tidy(one.aggressiveness),
                "in_band": errors.holds(one.aggressiveness),
            }
            for one in errors.deviations
        ],
        "tolerances": [
            {
                "error": one.quantity,
                "too_low": None if one.too_low is None else tidy(one.too_low),
                "too_high": None if one.too_high is None else tidy(one.too_high),
            }
            for one in errors.tolerances
        ],
        "watch": {"length_mm": WATCH_MM, "time_s": tidy(watch_time(found.feed_mm_min))},
    }
