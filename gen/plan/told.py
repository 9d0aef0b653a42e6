"""A neutral step in words."""

from __future__ import annotations

from gen.plan.step import Aux, Circle, Coolant, Dwell, End, Move, Refuse, Spindle, Step, Stop, Unclear, Write


def step_told(step: Step) -> str:
    """``step`` in one line of text; positions in mm, or degrees for a rotary axis."""
    match step:
        case Move():
            to = " ".join(f"{axis} {_number(value)}" for axis, value in step.to.items())
            rate = "" if step.rate is None else f" at {_number(step.rate)} mm/min"
            said = f"{step.op} {to}{_round(step.circle)}{rate}"
        case Dwell():
            said = f"dwell {_number(step.seconds)} s"
        case Spindle():
            said = "spindle off" if step.direction == "off" else f"spindle {step.direction} {_number(step.rpm)} rpm"
        case Coolant():
            said = f"coolant {'on' if step.on else 'off'}"
        case Write():
            said = f"write {step.register} = {_number(step.value)}"
        case Aux():
            said = f"aux {' '.join(part for part in (step.code, step.function) if part)}"
        case Unclear():
            said = " ".join([step.kind, *step.detail.split(), "(not known)"])
        case Refuse():
            said = f"refuse {step.message}"
        case Stop():
            said = "stop optional" if step.optional else "stop"
        case End():
            said = "end"
    return said


def _round(circle: Circle | None) -> str:
    if circle is None:
        return ""
    centre = " ".join(f"{axis} {_number(value)}" for axis, value in circle.centre.items())
    return f" {circle.direction} {_number(circle.turns)} turns about {centre}"


def _number(value: float) -> str:
    """``value`` with at most six decimals, no trailing noughts, no exponent."""
    return f"{value + 0.0:.6f}".rstrip("0").rstrip(".")
