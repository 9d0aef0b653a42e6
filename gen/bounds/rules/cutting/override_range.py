"""Where the control cannot lock its overrides, the range within which the band holds is said.

Why: A knob at 150 % makes half as much again of every feed, and a program cannot tell.
Example: The band holds with the feed override from 80 % to 120 %.
Helps: Keep the knobs within that range during the dress; a machine's [codes] may name a word that locks them.
"""

from gen.bounds.kit import Abilities, Dress, Fault, Found, bound
from gen.bounds.override_range import feed_override


@bound("override")
def check(dress: Dress, words: Abilities) -> Found:
    if words.override_lock:
        return
    if dress.dresser.valve is not None:
        yield Fault(
            None,
            "this control cannot lock its overrides; no override reaches the feeder, so that the band holds with the "
            "spindle override at 100 % only.",
            severity="warning",
            certainty="unproven",
        )
        return
    window = feed_override(dress)
    held = "at 100 % only" if window is None else f"from {window[0]} % to {window[1]} %"
    yield Fault(
        None,
        f"this control cannot lock its overrides; the band holds with the feed override {held} and the spindle "
        "override at 100 %.",
        severity="warning",
        certainty="unproven",
    )
