"""Everything a sheet says, as text of numbers and units; the words around them are the template's.

Nothing here is English, so that a sheet in another language is a folder of templates. A text is empty where there is
nothing of its kind.
"""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from types import SimpleNamespace

import gen
from gen.bounds.override_range import feed_override
from gen.control.draft import Program
from gen.control.seal import blocks
from gen.paper.dressing import Dressing, at_corners, dressing, over_wear
from gen.paper.errors import by_watch, pack_errors, told_errors
from gen.paper.sheet.feeder import feeder_told
from gen.paper.sheet.limits import limit_rows
from gen.paper.sheet.messages import messages
from gen.paper.sheet.motion import motion
from gen.paper.sheet.moves import moves
from gen.paper.sheet.pack import pack
from gen.paper.sheet.proving import proving
from gen.paper.sheet.registers import register_rows
from gen.paper.sheet.strip import strip
from gen.paper.shown import Shown, span
from gen.physics.contact import edge_share
from gen.physics.sensitivity import Sensitivity, sensitivity
from gen.shop.dress import Dress
from gen.shop.family import number_of
from gen.shop.wheel import Wheel


def values(program: Program, language: str = "en") -> SimpleNamespace:
    """What the sheet of ``program`` says, its numbers as ``language`` has them.

    ``watch`` is a length of plunge and the time it takes, ``modes`` are the words of the modes the block leaves. A
    warning has the rule that gave it, which another language words by itself, and its English sentence.
    """
    dress = program.dress
    shown = Shown(dress.machine.units, language)
    here = dressing(program, program.state)
    wear, corners = over_wear(program), at_corners(program) or (here,)
    told = motion(program, here, shown)
    warnings = dict.fromkeys((one.rule, one.message) for one in program.findings if one.severity == "warning")
    return SimpleNamespace(
        identity=identity(program),
        strip=strip(program, here, [dress for _, dress in wear], shown),
        right=right(program, here, shown),
        messages=messages(program),
        moves=moves(told),
        proving=proving(program, shown),
        set_up=set_up(dress, shown),
        feeder=feeder_told(program, shown),
        computed=_computed(program, here, corners, shown),
        errors=_errors(here, shown),
        watch=by_watch(here.feed, shown) if here.feed else ("", ""),
        pack=pack(program, here, corners, shown),
        wear=tuple(_wear(name, dress, shown) for name, dress in wear),
        limits=limit_rows(program.measures, shown),
        motion=told,
        modes=" ".join(program.dialect.host),
        warnings=[SimpleNamespace(rule=rule, message=message) for rule, message in warnings],
    )


def identity(program: Program) -> SimpleNamespace:
    """What the sheet of ``program`` belongs to.

    ``call`` is the line that calls a subprogram. ``prove_out`` numbers the program that holds the stick off,
    ``gap_check`` the one that proves the datum (0: lanes of different lengths have none); ``seal`` is the program's
    digest in groups of four.
    """
    recipe, control = program.dress.recipe, program.dialect.control
    edition = program.edition
    number = number_of(edition, recipe)
    seal = next((block.stated for block in blocks(program.text.splitlines())), "")
    call = program.dialect.words.say("subprogram_call", number=number) if edition.form == "subprogram" else ""
    return SimpleNamespace(
        title=recipe.title,
        machine=program.dress.machine.title,
        machine_name=program.heading.machine,
        recipe_name=program.heading.recipe,
        program=number,
        prove_out=number_of(replace(edition, purpose="prove-out"), recipe),
        gap_check=0 if program.dress.turns else number_of(replace(edition, purpose="gap-check"), recipe),
        form=edition.form,
        call=call,
        control=control.title,
        judge=control.judge,
        version=gen.__version__,
        file=f"{program.heading.recipe}{edition.suffix}{control.file_suffix}",
        seal=" ".join(seal[start : start + 4] for start in range(0, len(seal), 4)),
        after_truing=edition.after_truing,
    )


def right(program: Program, here: Dressing, shown: Shown) -> SimpleNamespace:
    """The state that the sheet of ``program`` is right for, worked out at ``here``.

    ``registers`` or, for a program of numbers, ``fixed``: name and value. ``size`` and ``length`` are what the sheet's
    numbers were worked out for. ``length_at`` and ``lane_at`` number the registers of the stick's length and of the
    next lane.
    """
    dress = program.dress
    return SimpleNamespace(
        face=dress.first.face,
        incremental=not dress.dresser.needs_length,
        registers=register_rows(program, shown.language) if program.by_registers else (),
        fixed=tuple((name, shown.length(value)) for name, value in program.heading.state.items()),
        size=", ".join(shown.length(wheel.size) for wheel in here.wheels),
        length=shown.length(here.stick_length),
        length_at=str(program.plan.registers.get("stick_length", "")),
        lane_at=str(program.plan.registers.get("next_lane", "")),
    )


def set_up(dress: Dress, shown: Shown) -> SimpleNamespace:
    """What a person sets or checks on the machine of ``dress``.

    ``via`` are the points on the way to the only wheel, ``by_points`` tells that any wheel has some.
    """
    wheel, keys, stick = dress.first, dress.first.keys, dress.stick
    machine, dresser = dress.machine, dress.machine.dresser
    length, number = shown.length, shown.number

    def given(value: Decimal | None) -> str:
        return "" if value is None else length(value)

    offset, dresses = dresser.offset, dresser.per_set_up
    moving = (*filter(None, (dresser.axis,)), *dress.ways.axes)
    return SimpleNamespace(
        wheel=keys.name,
        shape=keys.shape,
        wheel_grit=keys.grit,
        concentration=number(keys.concentration),
        diameter=span(length(keys.diameter[0]), length(keys.diameter[1])),
        gauge="" if keys.gauge is None else span(length(keys.gauge[0]), length(keys.gauge[1])),
        width=length(keys.width),
        taper=shown.angle(keys.taper) if keys.taper else "",
        max_speed="" if keys.max_speed is None else shown.speed(keys.max_speed),
        max_rpm="" if keys.max_rpm is None else shown.rpm(keys.max_rpm),
        stick_grit=stick.grit,
        section=f"{length(stick.section[0])} × {length(stick.section[1])}",
        length=length(stick.length),
        tolerance=shown.tolerance(dresser.stick_tolerance),
        jaw=length(dresser.jaw) if dresser.jaw else "",
        holder="" if dresser.holder is None else f"{length(dresser.holder[0])} × {length(dresser.holder[1])}",
        side_clearance=length(dresser.side_clearance),
        kind=dresser.kind,
        axis=dresser.axis or "",
        sign="+" if dresser.sign > 0 else "-",
        datum=given(dresser.datum_position),
        lead=length(wheel.geometry.lead) if wheel.geometry.lead else "",
        inclination=shown.angle(dresser.inclination) if dresser.inclination else "",
        parked=given(dresser.stands_at),
        clearance=length(dresser.keeps_clear),
        stand_off=given(None if dresses is None else dresser.gap),
        dresses_per_set_up=dresses or 0,
        approach="state" if dresser.rapids_by_state else "envelope",
        lateral=_lateral(wheel, shown, 0.0),
        lateral_worn=_lateral(wheel, shown, wheel.drift(float(wheel.size_range[0]))) if wheel.recentre_sign else "",
        at=shown.places(dresser.at if wheel.count > 1 else wheel.at),
        via=() if wheel.count > 1 else tuple(", ".join(shown.places(point)) for point in keys.via),
        by_points=any(one.keys.via for one in dress.wheels),
        offset=() if offset is None else shown.places({**dict.fromkeys(moving, 0.0), **offset.values}),
        offset_word="" if offset is None else offset.word,
        direction=machine.spindle.direction,
        coolant=dress.settings.coolant,
    )


def _computed(program: Program, here: Dressing, corners: tuple[Dressing, ...], shown: Shown) -> SimpleNamespace:
    """What follows from wheel, stick and target at the sheet's state.

    ``turns`` counts the dresses after which the first lane is next again, 0 where every dress is the same, and
    ``back_from`` is the first of them that goes down again, 0 where none does. ``rims`` say how often each part of a
    rim meets the stick in so many ``dresses``, none where every part of every rim meets it as often; ``wheel`` 0 is the
    only one. ``override`` is the feed override that keeps the band, whole percent; empty where there is no window, or
    no override reaches.
    """
    dress, settings = program.dress, program.dress.settings
    axis, lanes = dress.dresser.axis, dress.first.lanes.offsets
    places = _places(dress.first, shown)
    geometry, smallest = dress.first.geometry, min(float(wheel.diameter[0]) for wheel in dress.recipe.wheels)
    times = [one.seconds for one in (corners if program.by_registers else (here,))]
    window = feed_override(dress)
    return SimpleNamespace(
        target=shown.number(dress.first.settings.aggressiveness),
        band=f"{shown.number(dress.first.settings.band[0])} – {shown.number(dress.first.settings.band[1])}",
        plunge=shown.length(settings.plunge),
        plunges=len(here.contacts.plunges),
        plunge_time=shown.seconds(float(settings.plunge) / here.feed * 60) if here.feed else "",
        dress_time=span(shown.seconds(min(times)), shown.seconds(max(times))),
        ramps=axis is None or dress.machine.axes[axis].acceleration is not None,
        stick_per_dress=shown.length(dress.stick_per_dress),
        dresses_per_stick=dress.dresses_per_stick,
        least_stick=shown.length(dress.shortest_left + (dress.stick_per_set_up or dress.stick_per_dress)),
        every_parts=settings.every_parts or 0,
        groove=shown.length(dress.groove) if dress.groove else "",
        edge_share="" if geometry.face else f"{shown.number(100 * edge_share(geometry.stick_height, smallest), 1)} %",
        removal=shown.removal(max(wheel.wheel.removal(wheel.feed) for wheel in here.wheels)),
        overhang=shown.length(dress.overhang),
        inside_edge="".join(shown.number(number, 0) for number in here.aggressiveness[1:]),
        inside_diameter="".join(shown.length(diameter) for diameter in here.diameters[1:]),
        bedding=shown.length(geometry.bedding) if geometry.bedding else "",
        places=places,
        last_place=places[-1] if places else "",
        turns=len(dress.turns),
        back_from=len(lanes) + 1 if len(dress.turns) > len(lanes) else 0,
        rims=tuple(
            SimpleNamespace(wheel=wheel.number, least=met.least, most=met.most, dresses=met.dresses)
            for wheel, met in zip(dress.wheels, dress.evenness, strict=True)
            if met.least != met.most
        ),
        stations=not dress.first.lanes.stick_is_wider,
        capped=any(wheel.rpm < wheel.wheel.asked_rpm(wheel.size) for one in corners for wheel in one.wheels),
        override="" if window is None else f"{window[0]} – {window[1]} %",
        locked=program.dialect.abilities.override_lock,
    )


def _errors(here: Dressing, shown: Shown) -> tuple[SimpleNamespace, ...]:
    """What errors at the machine make of the aggressiveness."""
    found = [_sensitivity(wheel) for wheel in here.wheels if wheel.feed]
    if len(found) < len(here.wheels):
        return ()
    return told_errors(found[0], shown) if len(found) == 1 else pack_errors(found, shown)


def _sensitivity(here: Dressing) -> Sensitivity:
    wheel = here.wheel
    low, high = (float(end) for end in wheel.settings.band)
    nominal, *others = here.aggressiveness
    return sensitivity(
        nominal,
        diameter_mm=here.diameters[0],
        angle_deg=float(wheel.angle),
        band=(low, high),
        highest=max([nominal, *others]),
        # a valve sets a feeder's rate
        override=here.dress.dresser.valve is None,
    )


def _lateral(wheel: Wheel, shown: Shown, drift: float) -> str:
    """Where stick and wheel are centred, ``drift`` mm on from where they are on a new wheel; empty without an axis."""
    axis, centre = wheel.machine.dresser.lateral_axis, wheel.keys.lateral
    if axis is None or centre is None:
        return ""
    return f"{axis} {shown.length(float(centre) + wheel.recentre_sign * drift)}"


def _places(wheel: Wheel, shown: Shown) -> tuple[str, ...]:
    """Lateral positions of lanes or stations; none where there is only one, or no axis that could visit them."""
    axis, lanes, new = wheel.machine.dresser.lateral_axis, wheel.lanes.offsets, float(wheel.size_range[1])
    if len(lanes) == 1:
        return ()
    places = (wheel.place(lane, new) for lane in range(len(lanes)))
    return tuple(f"{axis} {shown.length(place)}" for place in places if place is not None)


def _wear(name: str, dress: Dressing, shown: Shown) -> SimpleNamespace:
    """One row of the wear table; ``name`` is ``new``, ``middle`` or ``worn``."""
    return SimpleNamespace(
        name=name,
        size=shown.length(dress.size),
        rpm=shown.rpm(dress.rpm),
        speed=shown.speed(dress.speeds[0]),
        feed=shown.feed(dress.feed),
        aggressiveness=shown.number(dress.aggressiveness[0], 0),
    )
