"""Each plunge ends as far beyond contact as planned.

Why: Deeper strips good diamond and takes more stick than the registers count; shallower opens little.
Example: The plunge ends at U 57.5 mm, 10 mm beyond contact; 8 mm is planned.
Helps: Generate the block again; a depth of your own belongs into the recipe as plunge.
"""

from gen.bounds.kit import TOLERANCE, Contacts, Dress, Fault, Found, Units, Wear, bound

DWELL_ROUNDING = 0.01
"""s: two dwells, each half of 0.01 s off, the coarsest step in which the controls here write a dwell."""


@bound("plunge-depth")
def check(dress: Dress, contacts: Contacts, wear: Wear, units: Units) -> Found:
    planned, axis, valve = float(dress.settings.plunge), dress.dresser.axis, dress.dresser.valve
    slack = TOLERANCE if valve is None else TOLERANCE + DWELL_ROUNDING * float(valve.rate) / 60
    for plunge in contacts.plunges:
        off = abs(plunge.depth - planned)
        if off <= slack:
            continue
        if axis is None:
            said = (
                f"at {units.feed(plunge.feed or 0.0)} the dwell takes the stick {units.mm(plunge.depth)} beyond "
                f"contact; {units.mm(planned)} is planned."
            )
        else:
            said = (
                f"the plunge ends at {axis} {units.mm(plunge.reached)}, {units.mm(plunge.depth)} beyond "
                f"contact; {units.mm(planned)} is planned ({wear.here})."
            )
        yield Fault(plunge.last_line, said, amount=off)
