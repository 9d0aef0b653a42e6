"""At the first feed move behind the dress coolant flows if it did before.

Why: A dry cut burns the part.
Example: The coolant was on before the dress and is off when G1 X10 moves at a feed.
Helps: Switch the coolant on again behind the dress; splice does that.
"""

from gen.bounds.kit import MOVING, Around, Fault, Found, bound


@bound("host-continues", scope="program", intents=MOVING)
def check(around: Around) -> Found:
    if around.grinding is None:
        return
    if around.before.stated("coolant") == "on" and around.at_grinding("coolant") == "off":
        move = around.grinding[1]
        yield Fault(move.line, "the coolant was on before the dress and is off when this moves at a feed.")
