"""Which stick grit suits the diamonds of one wheel or of a pack, as text and as a JSON value."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from gen.base.languages import language as known
from gen.base.languages import told
from gen.physics.gap import TWICE_AS_WIDE, StickFit, finest


def grit_as_object(fits: list[StickFit]) -> dict[str, Any]:
    """The answer as a JSON object: of the wheel with the finest diamonds, which is the pack's; ``wheels`` has each."""
    return {**_one(finest(fits)), "wheels": [_one(each) for each in fits]}


def _one(fit: StickFit) -> dict[str, Any]:
    diamonds = fit.diamonds
    return {
        "wheel_grit": diamonds.name,
        "mesh": diamonds.mesh,
        "concentration": fit.concentration,
        "grain_um": diamonds.um,
        "grain_limits_um": [diamonds.low, diamonds.high],
        "recommended": None if fit.recommended is None else fit.recommended.name,
        "habit": [grain.name for grain in fit.habit],
        "gap_um": round(fit.gap_um, 2),
        "fits": [grain.name for grain in fit.fits],
        "gap_agrees": fit.gap_agrees,
    }


def grit_as_text(fits: list[StickFit], language: str) -> str:
    """The answer in words: for all wheels, and for each."""
    return told(language, "grit", _values(fits, known(language).marked))


def _values(fits: list[StickFit], mark: Callable[[str], str]) -> dict[str, Any]:
    """What a language words: of all wheels, and of each; numbers as text in µm."""
    decides = finest(fits)
    return {
        "recommended": "" if decides.recommended is None else decides.recommended.name,
        "decides": decides.diamonds.name,
        "share": mark(f"{100 * TWICE_AS_WIDE:g}"),
        "wheels": [_wheel(each, mark) for each in fits],
    }


def _wheel(fit: StickFit, mark: Callable[[str], str]) -> dict[str, Any]:
    diamonds = fit.diamonds
    return {
        "diamonds": diamonds.name,
        "mesh": diamonds.mesh or "",
        "low": mark(f"{diamonds.low:g}"),
        "high": mark(f"{diamonds.high:g}"),
        "middle": mark(f"{diamonds.um:g}"),
        "concentration": mark(f"{fit.concentration:g}"),
        "habit": [grain.name for grain in fit.habit],
        "gap": mark(f"{fit.gap_um:.1f}"),
        "coarsest": fit.fits[0].name if fit.fits else "",
        "agrees": fit.gap_agrees,
    }
