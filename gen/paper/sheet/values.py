"""Everything a sheet says, as text of numbers and units; the words around them are the template's.

Nothing here is English, so that a sheet in another language is a folder of templates.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal

import gen
from gen.bounds.override_range import feed_override
from gen.control.draft import Program
from gen.paper.dressing import Dressing, at_corners, dressing, over_wear
from gen.paper.sheet.feeder import Feeder, feeder
from gen.paper.sheet.limits import Limit, limits
from gen.paper.sheet.motion import Told, motion
from gen.paper.sheet.pack import PackWheel, pack
from gen.paper.shown import Shown, span
from gen.physics.contact import edge_share, working_diameters
from gen.shop.facts import Facts
from gen.shop.family import number_of


@dataclass(frozen=True, slots=True)
class Identity:
    """What the sheet belongs to. ``call`` is the line that calls a subprogram, else empty; ``judge`` may be empty.

    ``prove_out`` numbers the program that holds the stick off.
    """

    title: str
    machine: str
    machine_name: str
    recipe_name: str
    program: int
    prove_out: int
    form: str
    call: str
    control: str
    judge: str
    version: str


@dataclass(frozen=True, slots=True)
class Kept:
    """A register that the program reads: what it holds, what is accepted, and what set-up enters (empty: measured)."""

    number: str
    name: str
    accepted: str
    enters: str


@dataclass(frozen=True, slots=True)
class Right:
    """The state the sheet is right for.

    ``registers`` or, for a program of numbers, ``fixed``: name and value.
    ``size``, ``length`` and ``contact`` are what the numbers of the sheet were
    worked out for; without a datum ``contact`` is empty.
    """

    face: bool
    incremental: bool
    registers: tuple[Kept, ...]
    fixed: tuple[tuple[str, str], ...]
    size: str
    length: str
    contact: str


@dataclass(frozen=True, slots=True)
class SetUp:
    """What a person sets or checks. A text is empty where there is nothing of the kind."""

    wheel: str
    shape: str
    wheel_grit: str
    concentration: str
    diameter: str
    gauge: str
    width: str
    taper: str
    max_speed: str
    max_rpm: str
    stick_grit: str
    section: str
    length: str
    tolerance: str
    jaw: str
    holder: str
    side_clearance: str
    kind: str
    axis: str
    sign: str
    datum: str
    lead: str
    inclination: str
    parked: str
    clearance: str
    stand_off: str
    dresses_per_set_up: int
    approach: str
    lateral: str
    lateral_worn: str
    at: tuple[str, ...]
    offset: tuple[str, ...]
    offset_word: str
    spin_up: str
    direction: str
    coolant: bool


@dataclass(frozen=True, slots=True)
class Computed:
    """What follows from wheel, stick and target at the sheet's state; texts are empty where nothing of the kind is."""

    rpm: str
    speed: str
    feed: str
    feed_per_second: str
    target: str
    aggressiveness: str
    band: str
    plunge: str
    plunges: int
    plunge_time: str
    dress_time: str
    ramps: bool
    stick_per_dress: str
    dresses_per_stick: int
    least_stick: str
    every_parts: int
    groove: str
    edge_share: str
    removal: str
    overhang: str
    inside_edge: str
    inside_diameter: str
    bedding: str
    places: tuple[str, ...]
    stations: bool
    capped: bool
    override: str
    locked: bool


@dataclass(frozen=True, slots=True)
class Wear:
    """One row of the wear table; ``name`` is ``new``, ``middle`` or ``worn``."""

    name: str
    size: str
    rpm: str
    speed: str
    feed: str
    aggressiveness: str


@dataclass(frozen=True, slots=True)
class Warned:
    """A warning: the rule that gave it, which another language words by itself, and its English sentence."""

    rule: str
    message: str


@dataclass(frozen=True, slots=True)
class Values:
    """The whole sheet. ``modes`` are the words of the modes the block leaves."""

    identity: Identity
    right: Right
    set_up: SetUp
    feeder: Feeder | None
    computed: Computed
    pack: tuple[PackWheel, ...]
    wear: tuple[Wear, ...]
    limits: tuple[Limit, ...]
    motion: tuple[Told, ...]
    modes: str
    warnings: tuple[Warned, ...]


def values(program: Program, decimal: str = ".") -> Values:
    """What the sheet of ``program`` says, with ``decimal`` before the decimals of its numbers."""
    facts = program.facts
    shown = Shown(facts.machine.units, decimal)
    here = dressing(program, program.state)
    wear, corners = over_wear(program), at_corners(program) or (here,)
    return Values(
        identity=_identity(program),
        right=_right(program, here, shown),
        set_up=_set_up(facts, shown),
        feeder=feeder(program, shown),
        computed=_computed(program, here, corners, shown),
        pack=pack(facts, here, corners, shown),
        wear=tuple(_wear(name, dress, shown) for name, dress in wear),
        limits=tuple(limits(facts, corners, shown)),
        motion=motion(program, here, shown),
        modes=" ".join(program.dialect.host),
        warnings=tuple(
            dict.fromkeys(Warned(one.rule, one.message) for one in program.findings if one.severity == "warning")
        ),
    )


def _identity(program: Program) -> Identity:
    recipe, control = program.facts.recipe, program.dialect.control
    call = program.dialect.words.say("subprogram_call", number=recipe.program) if program.form == "subprogram" else ""
    return Identity(
        title=recipe.title,
        machine=program.facts.machine.title,
        machine_name=program.heading.machine,
        recipe_name=program.heading.recipe,
        program=recipe.program,
        prove_out=number_of(recipe, prove_out=True),
        form=program.form,
        call=call,
        control=control.title,
        judge=control.judge,
        version=gen.__version__,
    )


def _right(program: Program, here: Dressing, shown: Shown) -> Right:
    facts = program.facts
    return Right(
        face=facts.face,
        incremental=facts.incremental,
        registers=_kept(program, shown.decimal) if program.by_registers else (),
        fixed=tuple((name, shown.length(value)) for name, value in program.heading.state.items()),
        size=", ".join(shown.length(wheel.size) for wheel in here.wheels),
        length=shown.length(here.length),
        contact="" if facts.incremental else shown.length(facts.contact(here.size, here.length)),
    )


def _kept(program: Program, decimal: str) -> tuple[Kept, ...]:
    facts = program.facts
    table = facts.machine.registers
    held = Shown("mm" if table is None else table.units, decimal)
    accepted: dict[str, tuple[Decimal, Decimal]] = dict(facts.sizes)
    if not facts.incremental:
        accepted["stick_length"] = facts.length_range
    rows = []
    for name, number in program.plan.registers.items():
        if name in accepted:
            low, high = accepted[name]
            rows.append(Kept(str(number), name, span(held.length(low), held.length(high)), ""))
        elif name in ("in_progress", "parts_since_dress"):
            rows.append(Kept(str(number), name, "0" if name == "in_progress" else "", "0"))
    return tuple(rows)


def _set_up(facts: Facts, shown: Shown) -> SetUp:
    wheel, stick = facts.wheel, facts.stick
    machine, dresser = facts.machine, facts.machine.dresser
    length, number = shown.length, shown.number

    def given(value: Decimal | None) -> str:
        return "" if value is None else length(value)

    offset = dresser.offset
    return SetUp(
        wheel=wheel.name,
        shape=wheel.shape,
        wheel_grit=wheel.grit,
        concentration=number(wheel.concentration),
        diameter=span(length(wheel.diameter[0]), length(wheel.diameter[1])),
        gauge="" if wheel.gauge is None else span(length(wheel.gauge[0]), length(wheel.gauge[1])),
        width=length(wheel.width),
        taper=shown.place("A", wheel.taper) if wheel.taper else "",
        max_speed="" if wheel.max_speed is None else shown.speed(wheel.max_speed),
        max_rpm="" if wheel.max_rpm is None else shown.rpm(wheel.max_rpm),
        stick_grit=stick.grit,
        section=f"{length(stick.section[0])} × {length(stick.section[1])}",
        length=length(stick.length),
        tolerance=length(dresser.stick_tolerance),
        jaw=length(dresser.jaw) if dresser.jaw else "",
        holder="" if dresser.holder is None else f"{length(dresser.holder[0])} × {length(dresser.holder[1])}",
        side_clearance=length(dresser.side_clearance),
        kind=dresser.kind,
        axis=dresser.plunge_axis,
        sign=dresser.toward_wheel,
        datum=given(dresser.datum),
        lead=length(facts.geometry.lead) if facts.geometry.lead else "",
        inclination=shown.place("A", dresser.inclination) if dresser.inclination else "",
        parked=given(dresser.parked),
        clearance=length(dresser.clearance),
        stand_off=given(dresser.stand_off),
        dresses_per_set_up=dresser.dresses_per_set_up or 0,
        approach=dresser.approach,
        lateral=_lateral(facts, shown, 0.0),
        lateral_worn=_lateral(facts, shown, facts.drift(float(facts.size_range[0]))) if facts.recentre_sign else "",
        at=tuple(f"{axis} {shown.place(axis, position)}" for axis, position in dresser.at.items()),
        offset=()
        if offset is None
        else tuple(f"{axis} {shown.place(axis, value)}" for axis, value in offset.values.items()),
        offset_word="" if offset is None else offset.word,
        spin_up=shown.seconds(machine.spindle.spin_up),
        direction=machine.spindle.direction,
        coolant=facts.dress.coolant,
    )


def _computed(program: Program, here: Dressing, corners: tuple[Dressing, ...], shown: Shown) -> Computed:
    facts, dress = program.facts, program.facts.dress
    geometry, smallest = facts.geometry, min(float(wheel.diameter[0]) for wheel in facts.recipe.wheels)
    times = [one.seconds for one in (corners if program.by_registers else (here,))]
    inside = working_diameters(geometry, facts.diameter_at(here.size))[1:]
    return Computed(
        rpm=_over([wheel.rpm for wheel in here.wheels], shown.rpm),
        speed=_over([wheel.speeds[0] for wheel in here.wheels], shown.speed),
        feed=_over([wheel.feed for wheel in here.wheels], shown.feed),
        feed_per_second=_over([wheel.feed for wheel in here.wheels], shown.feed_per_second),
        target=shown.number(dress.aggressiveness),
        aggressiveness=shown.number(here.aggressiveness[0], 0),
        band=f"{shown.number(dress.band[0])} – {shown.number(dress.band[1])}",
        plunge=shown.length(dress.plunge),
        plunges=len(here.contacts.plunges),
        plunge_time=shown.seconds(float(dress.plunge) / here.feed * 60) if here.feed else "",
        dress_time=span(shown.seconds(min(times)), shown.seconds(max(times))),
        ramps=facts.timed or facts.machine.axes[facts.machine.dresser.plunge_axis].acceleration is not None,
        stick_per_dress=shown.length(facts.stick_per_dress),
        dresses_per_stick=facts.dresses_per_stick,
        least_stick=shown.length(facts.shortest_left + (facts.stick_per_set_up or facts.stick_per_dress)),
        every_parts=dress.every_parts or 0,
        groove=shown.length(facts.groove) if facts.groove else "",
        edge_share="" if facts.face else f"{shown.number(100 * edge_share(geometry.stick_height, smallest), 1)} %",
        removal=shown.removal(max(wheel.facts.removal(wheel.feed) for wheel in here.wheels)),
        overhang=shown.length(facts.overhang),
        inside_edge="".join(shown.number(number, 0) for number in here.aggressiveness[1:]),
        inside_diameter="".join(shown.length(diameter) for diameter in inside),
        bedding=shown.length(geometry.bedding) if geometry.bedding else "",
        places=_places(facts, shown),
        stations=not facts.lanes.stick_is_wider,
        capped=any(wheel.rpm < wheel.facts.asked_rpm(wheel.size) for one in corners for wheel in one.wheels),
        override=_override(facts),
        locked=program.dialect.abilities.override_lock,
    )


def _lateral(facts: Facts, shown: Shown, drift: float) -> str:
    """Where stick and wheel are centred, ``drift`` mm on from where they are on a new wheel; empty without an axis."""
    axis, centre = facts.machine.dresser.lateral_axis, facts.wheel.lateral
    if axis is None or centre is None:
        return ""
    return f"{axis} {shown.length(float(centre) + facts.recentre_sign * drift)}"


def _places(facts: Facts, shown: Shown) -> tuple[str, ...]:
    """Lateral positions of lanes or stations; none where there is only one, or no axis that could visit them."""
    axis, lanes, new = facts.machine.dresser.lateral_axis, facts.lanes.offsets, float(facts.size_range[1])
    if len(lanes) == 1:
        return ()
    places = (facts.place(lane, new) for lane in range(len(lanes)))
    return tuple(f"{axis} {shown.length(place)}" for place in places if place is not None)


def _override(facts: Facts) -> str:
    """The feed override that keeps the band, whole percent; empty where there is no window, or no override reaches."""
    window = feed_override(facts)
    return "" if window is None else f"{window[0]} – {window[1]} %"


def _over(values: list[float], shown: Callable[[float], str]) -> str:
    """The values of all wheels, as a range where they differ."""
    return span(shown(min(values)), shown(max(values)))


def _wear(name: str, dress: Dressing, shown: Shown) -> Wear:
    return Wear(
        name=name,
        size=shown.length(dress.size),
        rpm=shown.rpm(dress.rpm),
        speed=shown.speed(dress.speeds[0]),
        feed=shown.feed(dress.feed),
        aggressiveness=shown.number(dress.aggressiveness[0], 0),
    )
