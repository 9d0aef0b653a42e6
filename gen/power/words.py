"""The answer of a power log as a shop reads it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from gen.power.answer import Answer
from gen.power.causes import Cause
from gen.power.estimate import Estimate
from gen.power.limit import REACH
from gen.power.recovery import Dress

SHOWN = 6
"""Dresses that are told one by one, besides the last."""
CAUTION = (
    "A log tells of the power alone. A jump in sound or power: retract, stop, and find out why. The machine and wheel "
    "makers' instructions and a qualified person come before it."
)

_VERDICTS = {
    "good": "The dresses are good",
    "too-gentle": "The dresses are too gentle",
    "true-the-wheel": "True the wheel",
    "unknown": "Whether the dresses are good cannot be told",
}
_SILENCES = {
    "nothing-before": "nothing before it",
    "unknown-start": "the run before it began before the log",
    "truing": "truing",
    "lost-parts": "parts missing before it",
    "too-few-parts": "too few parts",
    "in-the-noise": "the rise is lost in the noise",
}


def lines(answer: Answer, causes: Sequence[Cause], every_parts: int | None) -> Iterator[str]:
    """The answer line by line; ``every_parts`` is what the recipe says now."""
    yield _headline(answer, every_parts)
    yield from _powers(answer)
    yield ""
    yield f"{_VERDICTS[answer.verdict]}: {answer.why}"
    if answer.truing is not None:
        yield f"  {_when(answer)}"
    if answer.share is not None and answer.rises:
        low, high = (_percent(end) for end in answer.share.interval())
        yield f"  together the dresses took {_percent(answer.share.value)} of the rise ({low} to {high})"
    yield from _each(answer.dresses)
    if causes:
        yield "Likely causes, the likeliest first:"
        for number, cause in enumerate(causes, 1):
            yield f"  {number}. {cause.cause}"
            if cause.recipe:
                yield f"     This recipe: {cause.recipe}"
    if answer.verdict == "good":
        yield "  A log that begins with a loaded wheel looks the same: compare it with a dress known to be good."
    yield ""
    for note in answer.notes:
        yield f"Note: {note}"
    yield CAUTION


def _headline(answer: Answer, every_parts: int | None) -> str:
    found = answer.interval
    if found is None:
        return "How often to dress cannot be told from this log."
    limit = f"{answer.limit_kw:.2f} kW"
    if not found.parts and found.expected != 0:
        return f"This log does not let one be sure of a single part below the limit of {limit}: log more runs."
    if not found.parts:
        return f"The power just after a dress already passes the limit of {limit}: no interval keeps it below."
    now = ""
    if every_parts is not None:
        now = " (the recipe says so)" if every_parts == found.parts else f" (the recipe says {every_parts})"
    return f"Dress {'after every part' if found.parts == 1 else f'every {found.parts} parts'}{now}."


def _powers(answer: Answer) -> Iterator[str]:
    if answer.fit is None or answer.baseline is None:
        return
    base, rise = answer.baseline.now, answer.fit.rise
    net = " above idle" if answer.log.idle_kw is not None else ""
    yield f"  just after a dress   {base.value:.2f} kW{net} ({_between(base, '.2f')})"
    yield f"  each part adds       {rise.value:.3f} kW ({_between(rise, '.3f')})"
    if answer.log.idle_kw is not None:
        idle = answer.log.idle_kw
        gross = answer.limit_kw + idle
        yield f"  limit                {answer.limit_kw:.2f} kW above idle ({gross:.2f} kW less {idle:.2f})"
    found = answer.interval
    if found is None or found.margin_kw is None:
        return
    yield f"  margin               {found.margin_kw:.2f} kW at part {found.parts}; 19 of 20 runs end below the limit"
    if found.capped:
        yield f"  The limit is further off, but beyond {REACH:g} times its longest run the log tells nothing."
    elif found.expected is None:
        yield f"  The line itself stays below the limit for {_count(found.most, 'part')}, as far as the log tells."
    elif found.expected > found.parts:
        yield f"  The line itself stays below the limit for {_count(found.expected, 'part')}; the rest is for scatter."


def _when(answer: Answer) -> str:
    due = answer.truing
    assert due is not None
    if due.beyond:
        return f"a run still fits below the limit for {_count(due.dresses, 'dress')} and more; look again by then."
    if not due.dresses:
        return "now: the next run of the usual length already reaches the limit."
    return (
        f"within about {_count(due.dresses, 'dress')}, {due.parts} parts: by then a run of the usual length reaches "
        "the limit."
    )


def _each(dresses: Sequence[Dress]) -> Iterator[str]:
    """The last dress, those before it, and why others are unknown."""
    if not dresses:
        return
    last, known = dresses[-1], [dress for dress in dresses[:-1] if dress.share is not None]
    yield f"  the last one, before part {last.part}, took {_share(last)}"
    if known:
        shown = ", ".join(f"{_share(dress)} before part {dress.part}" for dress in known[: -SHOWN - 1 : -1])
        more = f", and {len(known) - SHOWN} earlier ones" if len(known) > SHOWN else ""
        yield f"  the ones before it took {shown}{more}"
    silent = Counter(dress.silence for dress in dresses[:-1] if dress.silence is not None)
    for silence, many in silent.items():
        yield f"  of {_count(many, 'dress')} it is unknown: {_SILENCES[silence]}"


def _share(dress: Dress) -> str:
    if dress.share is None:
        return f"an unknown share ({_SILENCES[dress.silence or 'too-few-parts']})"
    return _percent(dress.share)


def _percent(share: float) -> str:
    return f"{100 * share:.0f} %"


def _between(estimate: Estimate, form: str) -> str:
    low, high = estimate.interval()
    return f"{low:{form}} to {high:{form}}"


def _count(many: int, what: str) -> str:
    plural = {"part": "parts", "dress": "dresses"}
    return f"{many} {what if many == 1 else plural[what]}"
