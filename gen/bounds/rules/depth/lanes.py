"""A stick wider than the wheel has an axis that moves it from lane to lane.

Why: Without one the wheel cuts a slot, and its walls rub beside the wheel.
Example: A stick of 25 mm on a wheel of 10 mm needs 3 plunges side by side, and there is no lateral axis.
Helps: A stick no wider than the wheel, lateral_axis in the machine file, or lanes = "one".
"""

from gen.bounds.kit import Change, Dress, Fault, Found, Units, bound


@bound("plunge-depth")
def check(dress: Dress, units: Units) -> Found:
    if len(dress.first.lanes.offsets) > 1 and dress.dresser.lateral_axis is None:
        count, stick, wheel = len(dress.first.lanes.offsets), dress.stick.section[0], dress.first.keys.width
        yield Fault(
            None,
            f"a stick of {units.mm(float(stick))} on a wheel of {units.mm(float(wheel))} needs {count} plunges side by "
            "side, and the machine file names no lateral axis to move between them.",
            (Change("recipe", "dress.lanes", "one", 'With lanes = "one" it fits.'),),
        )
