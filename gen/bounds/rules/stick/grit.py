"""The stick is finer than the diamonds, as the habit of the trade has it.

Why: Stick grains that are too coarse to get between the diamonds do almost nothing.
Example: F120 is coarser than the usual stick for D64 diamonds; one or two sizes finer is F230 or F240.
Helps: A stick one or two sizes finer than the diamonds (common practice, no source). It is a warning only.
"""

from gen.bounds.kit import Dress, Fault, Found, bound
from gen.physics.gap import finest, sticks_for
from gen.physics.grains import Grain, known_diamond, known_stick


@bound("stick-grit")
def check(dress: Dress) -> Found:
    stick = known_stick(dress.stick.grit)
    if stick is None:
        yield _warning(
            f'stick.grit is "{dress.stick.grit}", which is not a size of ISO 8486 from F4 to F1200, so it cannot be '
            'compared with the diamonds; write it like "F400".'
        )
        return
    fits = []
    for one in dress.wheels:
        diamonds = known_diamond(one.keys.grit)
        if diamonds is None:
            yield _warning(
                f'{one.key("wheel.grit")} is "{one.keys.grit}", which is not a sieved size of ISO 6106 from D1181 to '
                "D46, so the size of the stick's grains cannot be compared with it."
            )
            return
        fits.append(sticks_for(diamonds, one.keys.concentration))
    decides = finest(fits)
    if decides.suits(stick):
        return
    better = " or ".join(grain.name for grain in decides.habit)
    yield _warning(
        f"{stick.name} ({_size(stick)}) is coarser than the usual stick for {decides.diamonds.name} diamonds and may "
        f"open the wheel little; one or two sizes finer than the diamonds is {better} (common practice, no source)."
    )


def _size(stick: Grain) -> str:
    return f"{stick.low:g} to {stick.high:g} µm" if stick.kind == "sieved" else f"median {stick.um:g} µm"


def _warning(message: str) -> Fault:
    return Fault(None, message, severity="warning")
