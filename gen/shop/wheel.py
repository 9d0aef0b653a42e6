"""One wheel of a dress on its machine: its geometry, its sizes, where its lanes lie, and what it is asked to do.

Lengths mm, feeds mm/min, speeds rpm or m/s.
"""

from __future__ import annotations

import math
from decimal import Decimal
from functools import cached_property

from gen.base.dataclass import dataclass
from gen.physics.contact import Geometry, lateral_drift, peripheral_speed, plunge_feed, rotation, working_diameters
from gen.physics.lanes import Lanes, lanes
from gen.physics.rim import horn, rim_section
from gen.shop.machine import Machine
from gen.shop.recipe import DressKeys, StickKeys, WheelKeys

_OWN = ("aggressiveness", "band", "lanes")
"""What a wheel may have of its own, beside its speed, in place of what the dress says."""


def settings_of_wheel(keys: WheelKeys, dress: DressKeys) -> DressKeys:
    """The settings of ``dress`` with what a wheel has of its own in their place."""
    own = {key: value for key in _OWN if (value := getattr(keys, key)) is not None}
    if keys.speed is not None or keys.wheel_speed is not None:
        own |= {"speed": keys.speed, "wheel_speed": keys.wheel_speed}
    return dress.model_copy(update=own) if own else dress


@dataclass(frozen=True)
class Wheel:
    """A wheel with what follows from its keys, the stick's and the machine's.

    ``index`` numbers it from 0 in the order in which the wheels are dressed,
    ``count`` is how many there are. ``rpm_cap`` is the most the program may ask
    for, which the whole spindle shares.
    """

    keys: WheelKeys
    dress_keys: DressKeys
    stick: StickKeys
    machine: Machine
    index: int
    count: int
    rpm_cap: int

    @cached_property
    def settings(self) -> DressKeys:
        """Dress settings with this wheel's overrides applied."""
        return settings_of_wheel(self.keys, self.dress_keys)

    def key(self, key: str) -> str:
        """Where a file says ``wheel.…`` or ``dress.…`` for this wheel: in its own table where it has its own."""
        table, _, name = key.partition(".")
        own = f"wheel[{self.index}].{name}" if self.count > 1 else f"wheel.{name}"
        if table == "wheel":
            return own
        return own if getattr(self.keys, name, None) is not None else key

    @property
    def number(self) -> int:
        """The wheel's number in a pack, from 1; 0 for the only wheel."""
        return self.index + 1 if self.count > 1 else 0

    @property
    def face(self) -> bool:
        """Whether the stick meets the wheel's face rather than its periphery."""
        return self.keys.contact == "face"

    @cached_property
    def size_name(self) -> str:
        """The register or option that holds the size of the wheel which the contact depends on."""
        name = "wheel_gauge" if self.face else "wheel_diameter"
        return f"{name}_{self.index + 1}" if self.count > 1 else name

    @cached_property
    def size_range(self) -> tuple[Decimal, Decimal]:
        """Worn and new: gauge for face contact, else diameter, mm."""
        if self.face:
            assert self.keys.gauge is not None
            return self.keys.gauge
        return self.keys.diameter

    @cached_property
    def angle(self) -> Decimal:
        """α in degrees: the dresser's inclination, or the wheel's taper."""
        return self.keys.taper or self.machine.dresser.inclination

    @cached_property
    def geometry(self) -> Geometry:
        return Geometry(
            face=self.face,
            wheel_width=float(self.keys.width),
            stick_width=float(self.stick.section[0]),
            stick_height=float(self.stick.section[1]),
            angle_deg=float(self.angle),
            tapered=bool(self.keys.taper),
        )

    @property
    def at(self) -> dict[str, Decimal]:
        """Where the axes beside plunge and lateral axis stand for this wheel, mm (A, B, C: deg), in moving order."""
        return {**self.machine.dresser.at, **self.keys.at}

    # -- across the wheel

    @cached_property
    def lanes(self) -> Lanes:
        return lanes(
            self.geometry,
            overlap=float(self.settings.overlap),
            only_one=self.settings.lanes == "one",
            at=float(self.keys.lane or 0),
        )

    @property
    def lateral_sign(self) -> int:
        """The direction of the lateral axis in which lanes are counted: 1 or -1."""
        return 1 if self.machine.dresser.lateral_sign == "+" else -1

    @property
    def recentre_sign(self) -> int:
        """The way the lateral axis goes while an inclined plunge's wheel gets smaller: 1, -1, or 0 where it stays."""
        return {"+": 1, "-": -1, None: 0}[self.machine.dresser.recentre]

    def drift(self, size: float) -> float:
        """How far an inclined stick meets a wheel of ``size`` mm aside of where it met the new one, mm; else 0."""
        return lateral_drift(self.geometry, float(self.size_range[1]), size)

    @property
    def slack(self) -> float:
        """How far stick or stations reach past the wheel's nearer edge when new, mm; less than 0 leaves some bare."""
        offsets, half = self.lanes.offsets, (self.geometry.footprint - self.geometry.wheel_width) / 2
        return half + min(-min(offsets), max(offsets))

    def place(self, lane: int, size: float) -> float | None:
        """Where the lateral axis stands for ``lane`` with the wheel at ``size`` mm; None where no axis moves so."""
        centre = self.keys.lateral
        if centre is None or self.machine.dresser.lateral_axis is None:
            return None
        offset = self.lateral_sign * self.lanes.offsets[lane]
        return float(centre) + offset + self.recentre_sign * self.drift(size)

    def under(self, lateral: float | None, size: float) -> tuple[float, float]:
        """The stretch of the stick's end that this wheel of ``size`` covers with the lateral axis at ``lateral``, mm.

        Without a lateral axis stick and wheel are centred. A drift that no axis follows is left out, since nobody
        says which way it goes.
        """
        centre, middle = self.keys.lateral, 0.0
        if lateral is not None and centre is not None:
            followed = self.recentre_sign * self.drift(size) if self.recentre_sign else 0.0
            middle = self.lateral_sign * (lateral - float(centre) - followed)
        half = self.geometry.wheel_width / 2
        return middle - half, middle + half

    @cached_property
    def holder_ahead(self) -> float:
        """By how much an inclined holder's corner is nearer to this wheel than a square stick's longest side, mm.

        Along the plunge: (c − b/2) tan α (geometry), c how far of the holder's half lies over the wheel, square to the
        plunge; at a station before the last one less by the stick that the later ones take. 0 for a straight plunge.
        """
        holder, tangent = self.machine.dresser.holder, math.tan(math.radians(float(self.machine.dresser.inclination)))
        if holder is None or not tangent:
            return 0.0
        geometry, offsets, lean = self.geometry, self.lanes.offsets, self.recentre_sign * self.lateral_sign
        ahead = 0.0
        for later, offset in enumerate(reversed(offsets)):
            # which way it leans nobody says where nothing follows the wear
            beside = -lean * offset if lean else abs(offset) + self.drift(float(self.size_range[0]))
            over = min(float(holder[0]) / 2, max(0.0, geometry.wheel_width / 2 + beside) * geometry.cosine)
            ahead = max(ahead, (over - geometry.width_in_contact / 2) * tangent - later * float(self.settings.plunge))
        return ahead

    # -- speed, feed and contact

    def diameter_at(self, size: float) -> float:
        """The wheel's diameter in mm when its size is ``size``; on a face it is the new one throughout."""
        return float(self.keys.diameter[1]) if self.face else size

    def nominal_diameter(self, size: float) -> float:
        """The diameter in mm at which wheel speed and target hold: D, or the middle of a new cup's rim."""
        return working_diameters(self.geometry, self.diameter_at(size))[0]

    def speed_at(self, size: float, rpm: float) -> float:
        """The speed in m/s that the recipe means, at the nominal diameter, of the wheel at ``size`` mm at ``rpm``."""
        return peripheral_speed(self.nominal_diameter(size), rpm)

    def dress_speed(self, size: float) -> float:
        """The speed in m/s of the wheel at ``size`` mm during a dress, before it is rounded to whole rpm."""
        asked = self.settings.wheel_speed
        if asked is None or self.asked_rpm(size) > self.rpm_cap:
            return self.speed_at(size, self.rpm(size))
        return float(asked)

    def asked_rpm(self, size: float) -> float:
        """The speed the recipe asks for with the wheel at ``size`` mm, before any cap, whole rpm."""
        if self.settings.speed is not None:
            return float(math.floor(self.settings.speed))
        assert self.settings.wheel_speed is not None
        return math.floor(rotation(float(self.settings.wheel_speed), self.nominal_diameter(size)) + 0.5)

    def rpm(self, size: float) -> float:
        """The speed a program runs with the wheel at ``size`` mm: as asked, a held wheel speed up to the cap."""
        asked = self.asked_rpm(size)
        return asked if self.settings.speed is not None else min(asked, float(self.rpm_cap))

    def nominal_feed(self, size: float) -> float:
        """Plunge feed in mm/min with the wheel at ``size`` mm, before it is rounded to what the program writes.

        Of a dresser with a valve, what the valve is set to.
        """
        valve = self.machine.dresser.valve
        return self.target_feed(size) if valve is None else float(valve.rate)

    def target_feed(self, size: float) -> float:
        """The feed in mm/min that the target asks for at the speed of the dress, with the wheel at ``size`` mm."""
        target = float(self.settings.aggressiveness)
        return plunge_feed(target, self.nominal_diameter(size), self.rpm(size), angle_deg=float(self.angle))

    def working_diameters(self, size: float) -> tuple[float, ...]:
        """Every diameter in mm at which the aggressiveness must be in band with the wheel at ``size``; nominal first.

        A program for face contact knows the gauge alone and runs one speed whatever is left of the
        diameter, so that the worn cup's count as well as the new one's.
        """
        if not self.face:
            return working_diameters(self.geometry, size)
        worn, new = (float(end) for end in self.keys.diameter)
        return tuple(dict.fromkeys(at for outer in (new, worn) for at in working_diameters(self.geometry, outer)))

    @cached_property
    def section(self) -> float:
        """Area in mm² of the stick's end that is in contact at a time: of a cup the most its rim covers."""
        geometry = self.geometry
        if not self.face:
            return geometry.width_in_contact * geometry.stick_height
        return max(
            rim_section(float(outer), geometry.wheel_width, geometry.stick_width, geometry.stick_height, offset)
            for outer in self.keys.diameter
            for offset in (*self.lanes.offsets, *(-offset for offset in self.lanes.offsets))
        )

    @cached_property
    def horn(self) -> float:
        """Width in mm of what a cup's rim, worn or new, leaves standing at the ends of a tall stick; 0 for none."""
        if not self.face:
            return 0.0
        geometry, offsets = self.geometry, self.lanes.offsets
        return max(
            horn(float(outer), geometry.wheel_width, geometry.stick_width, geometry.stick_height, offsets)
            for outer in self.keys.diameter
        )

    @cached_property
    def slowest_share(self) -> float:
        """The slowest diameter that works, anywhere in the wear range, as a share of the nominal one there."""
        sizes = [float(size) for size in self.size_range]
        return min(min(self.working_diameters(size)) / self.nominal_diameter(size) for size in sizes)

    def top_feed(self, size: float, rpm: float) -> float:
        """The feed in mm/min with which no working diameter of the wheel at ``size`` mm is above the band."""
        top = float(self.settings.band[1]) * self.slowest_share
        return plunge_feed(top, self.nominal_diameter(size), rpm, angle_deg=float(self.angle))

    def removal(self, feed: float) -> float:
        """Stick removed at a plunge feed of ``feed`` mm/min, mm³/min: section in contact × feed (definition)."""
        return self.section * feed

    def contact(self, size: float, length: float, stands: float | None = None) -> float | None:
        """Where along the dresser's way a stick of ``length`` first touches the wheel at ``size``, mm.

        ``stands`` is where the plunge axis stands at its stand-off; None where that is not known.
        """
        return self.machine.dresser.contact(self.geometry, size, length, stands)
