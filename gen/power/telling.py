"""The answer of a power log as numbers ready to be worded: what a language's ``answers.j2`` says around them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict
from typing import Any, TypeAlias

from gen.base.languages import told
from gen.power.answer import Answer
from gen.power.aside import Aside
from gen.power.causes import Cause
from gen.power.estimate import Estimate
from gen.power.limit import REACH
from gen.power.recovery import LoggedDress
from gen.power.said import Said

_SHOWN = 6
"""Dresses that are told one by one, besides the last."""

ASIDE = 10
"""Rows set aside that are told one by one."""

DecimalMark: TypeAlias = Callable[[str], str]
"""Puts the language's decimal mark into a number."""


def worded(said: Said, mark: DecimalMark) -> dict[str, Any]:
    """``said`` as a macro takes it: its key, and its numbers by name."""
    numbers = {name: mark(number) if isinstance(number, str) else number for name, number in said.numbers}
    return {"key": said.key, **numbers}


def sentences(language: str, template: str = "answers.j2") -> Callable[[str, Said], str]:
    """Words what is said, by a macro of ``template`` in ``language``, as one sentence with plain numbers."""
    return lambda macro, said: told(language, macro, worded(said, str), template=template)


def rounded(value: float | None, digits: int = 5) -> float | None:
    """``value`` as a document has it, kW unless its name says otherwise; null is what is not known."""
    return None if value is None else round(value, digits)


def rounded_ends(interval: tuple[float, float] | None, digits: int = 5) -> list[float] | None:
    """The ends of an interval as a document has them."""
    return interval and [round(end, digits) for end in interval]


def telling(answer: Answer, causes: Sequence[Cause], every_parts: int | None, mark: DecimalMark) -> Mapping[str, Any]:
    """What there is to tell; ``every_parts`` is what the recipe says now.

    Empty texts and None are not told. Costs are added by whoever knows the prices.
    """
    idle = answer.log.idle_kw
    return {
        "verdict": answer.verdict,
        "why": worded(answer.why, mark),
        "limit": mark(f"{answer.limit_kw:.2f}"),
        "idle": "" if idle is None else mark(f"{idle:.2f}"),
        "gross": "" if idle is None else mark(f"{answer.limit_kw + idle:.2f}"),
        "baseline": answer.baseline and estimated(answer.baseline.now, ".2f", mark),
        "rise": answer.fit and estimated(answer.fit.rise, ".3f", mark),
        "interval": _interval(answer, every_parts, mark),
        "truing": answer.truing and asdict(answer.truing),
        "cleared": _cleared(answer, mark),
        "aside": [_aside(one, mark) for one in answer.set_aside[:ASIDE]],
        "more_aside": max(0, len(answer.set_aside) - ASIDE),
        **_each(answer.dresses),
        "causes": [{"cause": one.cause, "recipe": one.recipe and worded(one.recipe, mark)} for one in causes],
        "notes": [worded(note, mark) for note in answer.notes],
        "costs": None,
        "unpriced": [],
    }


def _interval(answer: Answer, every_parts: int | None, mark: DecimalMark) -> Mapping[str, Any] | None:
    found = answer.interval
    if found is None:
        return None
    return {
        "parts": found.parts,
        "now": every_parts or 0,
        "sure": found.expected == 0,
        "margin": "" if found.margin_kw is None else mark(f"{found.margin_kw:.2f}"),
        "capped": found.capped,
        "reach": mark(f"{REACH:g}"),
        "expected": found.most if found.expected is None else found.expected,
        "told": found.expected is not None,
        "ground": found.ground,
        "more": found.expected is not None and found.expected > found.parts,
    }


def _cleared(answer: Answer, mark: DecimalMark) -> Mapping[str, Any] | None:
    found = answer.cleared
    if found is None:
        return None
    return {
        "value": _percent(found.share),
        "ends": [_percent(end) for end in found.interval()],
        "clean": mark(f"{found.clean_kw:.2f}"),
        "clean_ends": [mark(f"{end:.2f}") for end in found.clean_interval()],
    }


def _aside(one: Aside, mark: DecimalMark) -> Mapping[str, Any]:
    expected = "" if one.expected_kw is None else mark(f"{one.expected_kw:.2f}")
    return {"line": one.line, "why": one.why, "power": mark(f"{one.power_kw:.2f}"), "expected": expected}


def _each(dresses: Sequence[LoggedDress]) -> Mapping[str, Any]:
    """The last dress, those before it, and why others are unknown."""
    if not dresses:
        return {"last": None, "before": [], "earlier": 0, "silent": []}
    known = [dress for dress in dresses[:-1] if dress.share is not None]
    silent = Counter(dress.silence for dress in dresses[:-1] if dress.silence is not None)
    return {
        "last": _dress(dresses[-1]),
        "before": [_dress(dress) for dress in known[: -_SHOWN - 1 : -1]],
        "earlier": max(0, len(known) - _SHOWN),
        "silent": [{"silence": silence, "many": many} for silence, many in silent.items()],
    }


def _dress(dress: LoggedDress) -> Mapping[str, Any]:
    share = "" if dress.share is None else _percent(dress.share)
    return {"part": dress.part, "share": share, "silence": "" if share else dress.silence or "too-few-parts"}


def _percent(share: float) -> str:
    return f"{100 * share:.0f} %"


def estimated(estimate: Estimate, form: str, mark: DecimalMark) -> Mapping[str, Any]:
    """An estimate with its interval."""
    return with_ends(estimate.value, estimate.interval(), form, mark)


def with_ends(value: float, ends: tuple[float, float], form: str, mark: DecimalMark) -> Mapping[str, Any]:
    """A value with the ends of its interval, each written in ``form``."""
    return {name: mark(f"{one:{form}}") for name, one in zip(("value", "low", "high"), (value, *ends), strict=True)}
