"""The stick's grains get between the diamonds."""

from __future__ import annotations

from collections.abc import Iterator

from gen.base.finding import Fault
from gen.bounds.case import Case
from gen.bounds.registry import rule
from gen.physics.gap import fit, narrowest
from gen.physics.grains import Grain, known_diamond, known_stick


@rule("stick-grit", needs=("recipe",))
def check(case: Case) -> Iterator[Fault]:
    facts = case.known
    stick = known_stick(facts.stick.grit)
    if stick is None:
        yield _warning(
            f'stick.grit is "{facts.stick.grit}", which is not a size of ISO 8486 from F4 to F1200, so nothing tells '
            'whether its grains get between the diamonds; write it like "F400".'
        )
        return
    fits = []
    for one in facts.pack:
        diamonds = known_diamond(one.wheel.grit)
        if diamonds is None:
            yield _warning(
                f'{one.key("wheel.grit")} is "{one.wheel.grit}", which is not a sieved size of ISO 6106 from D1181 to '
                "D46, so nothing tells whether the stick's grains get between the diamonds."
            )
            return
        fits.append(fit(diamonds, one.wheel.concentration))
    least = narrowest(fits)
    if least.admits(stick):
        return
    finer = least.recommended
    better = "no size of the table gets in" if finer is None else f"{finer.name} or finer gets in"
    yield _warning(
        f"{stick.name} ({_size(stick)}) is too coarse to get between the diamonds of {least.diamonds.name} at "
        f"concentration {least.concentration:g}, about {least.gap_um:.0f} µm apart, and will open the wheel little; "
        f"{better}."
    )


def _size(stick: Grain) -> str:
    return f"{stick.low:g} to {stick.high:g} µm" if stick.kind == "sieved" else f"median {stick.um:g} µm"


def _warning(message: str) -> Fault:
    return Fault(None, message, severity="warning")
