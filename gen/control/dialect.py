"""A control as one machine speaks it: its words, what the machine file changes, and its templates."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import field
from decimal import Decimal
from functools import cached_property, lru_cache
from pathlib import Path
from typing import Literal, get_args

from gen.base.dataclass import dataclass
from gen.base.errors import DressblockError
from gen.base.places import data_folder
from gen.control.folders import control_folder, control_in
from gen.control.model import Control
from gen.control.origin import digest_of_files
from gen.control.own_words import respelled
from gen.control.render import Words, words_in
from gen.control.vouched import vouched
from gen.dressers.task import Abilities
from gen.plan.grid import INCH, Grid
from gen.plan.node import Telling
from gen.shop.machine import Machine

_DECIMALS = ("length_decimals", "feed_decimals")


@dataclass(frozen=True)
class Dialect:
    """``number_step`` is the step of sequence numbers, 0 for none; ``host`` the modal words a block leaves.

    ``digits`` tell the control's files from others.
    """

    control: Control
    words: Words
    grid: Grid
    number_step: int
    host: tuple[str, ...]
    digits: str

    @cached_property
    def abilities(self) -> Abilities:
        codes = self.control.codes
        return Abilities(
            cancels=self.control.cancelled,
            override_lock="override_lock" in codes and "override_free" in codes,
            synchronise="synchronise" in codes,
            host=self.host,
            work_offsets=self._work_offsets(),
            feeder_signal="feeder_retracted" in codes,
            shows=bool(self.control.lexis.messages or self.control.lexis.message_prefix),
            tells=frozenset(one for one in get_args(Telling) if one.replace("-", "_") in codes),
            mist=codes.get("mist_on", ""),
        )

    @cached_property
    def leaves(self) -> dict[str, str]:
        """The modes, by group, that a free-standing block leaves. :class:`DressblockError` for a word of none."""
        known = self.control.modes
        modes: dict[str, str] = {}
        for told in self.host:
            word, _, tolerance = told.partition(" ")
            if word not in known:
                raise DressblockError(
                    f'this control knows no mode "{word}"; use words such as {", ".join(sorted(known)[:6])}.',
                    key="host.modes",
                )
            group, meaning = known[word]
            if tolerance and group != "path":
                raise DressblockError(f'"{told}": only a path mode has a tolerance behind it.', key="host.modes")
            modes[group] = meaning
        return modes

    def _work_offsets(self) -> tuple[str, ...]:
        words = self.control.groups.get("work_offset", {})
        usual = words.get(self.control.usual_offset, "")
        return tuple(sorted(words.values(), key=lambda word: (word != usual, word)))


def dialect_for(machine: Machine, extra_dirs: Iterable[Path] = ()) -> Dialect:
    """The dialect of ``machine``. :class:`DressblockError` if its control or one of its codes cannot be used."""
    folders = tuple(extra_dirs)
    folder = control_folder(machine.control, folders)
    control, host = control_in(folder), machine.host
    said = () if host is None else (host.modes and tuple(host.modes), *host.known, "", *host.unchanged)
    key = id(control), folder, machine.units, repr(machine.codes), said
    return _dialect(_Spoken(key, machine, control, folder))


@dataclass(frozen=True)
class _Spoken:
    """The machine settings that determine its dialect: two machines with the same ``key`` share one."""

    key: tuple[object, ...]
    machine: Machine = field(compare=False)
    control: Control = field(compare=False)
    folder: Path = field(compare=False)


@lru_cache(maxsize=64)
def _dialect(spoken: _Spoken) -> Dialect:
    machine, folder = spoken.machine, spoken.folder
    codes = dict(machine.codes)
    step = _whole(codes.pop("number_step"), "number_step", 1000) if "number_step" in codes else None
    decimals = {key: _whole(codes.pop(key), key, 6) for key in _DECIMALS if key in codes}
    words = {key: str(code) for key, code in codes.items()}
    control = _with_decimals(respelled(spoken.control, words), machine.units, decimals)
    host = machine.host
    if host is not None and (host.known or host.unchanged):
        control = vouched(control, host.known, host.unchanged, spoken.control)
    usual = _usual_modes(control, machine.units) if host is None or host.modes is None else tuple(host.modes)
    return Dialect(
        control=control,
        words=words_in(spoken.folder),
        grid=grid_of(control, machine.units),
        number_step=control.lexis.number_step if step is None else step,
        host=(*usual, *_handed_back(control, usual)),
        digits=digest_of_files(
            [folder / "control.toml", folder / "words.j2", data_folder("templates") / "controls/common.j2"]
        ),
    )


def _usual_modes(control: Control, units: Literal["mm", "inch"]) -> tuple[str, ...]:
    """The modes that most cycles are written under, in the control's words."""
    usual = {"units": units, "distance": "absolute", "feed_mode": "per-minute", "plane": "xy"}
    return tuple(control.word(group, meaning) for group, meaning in usual.items())


def _handed_back(control: Control, host: Iterable[str]) -> Iterator[str]:
    """The words of modes that a block sets for itself and that no word of ``host`` sets again: the control's own."""
    for group, meaning in control.cancelled:
        words, own = control.groups[group], control.defaults.get(group, meaning)
        if own != meaning and not set(words.values()) & {word.partition(" ")[0] for word in host}:
            yield words[own]


def _whole(value: object, key: str, most: int) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or not 0 <= value <= most:
        raise DressblockError(f"read {value!r}; a whole number from 0 to {most} is wanted.", key=f"codes.{key}")
    return value


def _with_decimals(control: Control, units: Literal["mm", "inch"], decimals: dict[str, int]) -> Control:
    """``control`` with the decimal places of lengths and feeds that the machine writes."""
    if not decimals:
        return control
    places = getattr(control.numbers, units).model_copy(
        update={key.removesuffix("_decimals"): count for key, count in decimals.items()}
    )
    return control.model_copy(update={"numbers": control.numbers.model_copy(update={units: places})})


def grid_of(control: Control, units: Literal["mm", "inch"]) -> Grid:
    """The grid of programs for ``control`` in ``units``."""
    places = control.numbers.mm if units == "mm" else control.numbers.inch
    return Grid(
        mm_per_unit=Decimal(1) if units == "mm" else INCH,
        length=Decimal(1).scaleb(-places.length),
        feed=Decimal(1).scaleb(-places.feed),
        angle=Decimal(1).scaleb(-control.numbers.angle),
        digits=control.numbers.significant,
        dwell=Decimal(1).scaleb(-3 if control.dwell.unit == "ms" else -control.numbers.seconds),
    )
