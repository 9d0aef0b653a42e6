"""An inclined stick covers the wheel's whole width however far the wheel has worn.

Why: An inclined stick meets a worn wheel aside of where it met the new one, and the rest is never opened.
Example: At 45 degrees a wheel worn by 12.5 mm in radius is met 12.5 mm aside, and 2.5 mm of it stays closed.
Helps: dresser.recentre in the machine file, a wider stick, or a wheel that wears less.
"""

from gen.bounds.kit import TOLERANCE, Dress, Fault, Found, Units, Wear, bound


@bound("side-drift")
def check(dress: Dress, wear: Wear, units: Units) -> Found:
    wheel, across = dress.first, dress.dresser.lateral_axis
    if wheel.recentre_sign:
        return  # where it stands at each plunge is approach-path's
    size = wear.size_of(wheel)
    aside = wheel.drift(size)
    bare = aside - max(0.0, wheel.slack)
    if aside > TOLERANCE and bare > TOLERANCE:
        covered = "no axis can follow it" if across is None else "no axis follows it"
        follow = "" if across is None else "name dresser.recentre in the machine file, or "
        yield Fault(
            None,
            f"at an inclination the stick meets a wheel of {units.mm(size)} {units.mm(aside)} aside of where it met "
            f"the new one, and {covered}: {units.mm(bare)} of the wheel's width is never opened; {follow}use a wider "
            "stick or a wheel that wears less.",
            amount=bare,
        )
