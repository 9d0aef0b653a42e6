"""Whether a program has waited long enough for what it switched on."""

from gen.base.quantities import show
from gen.bounds.kit import DressBlock, Fault, Found, Plunge


def too_short(block: DressBlock, begun: int, line: int, plunge: Plunge, needed: float, what: str, key: str) -> Found:
    """A fault at ``line`` where from step ``begun`` to ``plunge`` dwells take less than the ``needed`` s of ``key``.

    The time that motion takes is left out.
    """
    got = block.waited(range(begun, plunge.enters))
    if got < needed - 1e-6:
        said = f"the program waits {show(got, 'time')} for {what} before the stick meets the wheel; "
        yield Fault(line, f"{said}{key} is {show(needed, 'time')}.", amount=needed - got)
