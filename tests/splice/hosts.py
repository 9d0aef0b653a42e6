"""The ten invented grinding programs of the demo shop, and what they become with a dress in them."""

from __future__ import annotations

import re
import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from gen.base.places import data_folder
from gen.control.folders import load_control
from gen.jobs.pair import pair_at
from gen.jobs.splice import Asked, Spliced, prepare_spliced
from gen.reader import read

CONTROLS = ("rs274ngc", "hash-variables", "r-variables", "iso6983")


@dataclass(frozen=True)
class Host:
    """A program of a machine, the recipe of its dress, and the line behind which it goes (None: at its comment)."""

    machine: str
    file: str
    recipe: str
    after: str | None = None

    @property
    def path(self) -> Path:
        return data_folder("machines") / self.machine / "hosts" / self.file

    @property
    def text(self) -> str:
        return self.path.read_bytes().decode()

    def fits(self, control: str) -> bool:
        """Whether every word of the program is one that ``control`` has."""
        reading = read(self.text, load_control(control))
        return not reading.unread and reading.end == "end"

    def __str__(self) -> str:
        return Path(self.file).stem


HOSTS = (
    Host("north-bench", "drill-flutes.ngc", "flute-rough"),
    Host("north-bench", "outside-relief.ngc", "outside-wide", "N150"),
    Host("north-bench", "step-drill-passes.ngc", "flute-finish"),
    Host("south-bench", "gash-cup.nc", "gash-cup"),
    Host("south-bench", "cup-face.nc", "relief-cup", "N140"),
    Host("inch-table", "slot-form.nc", "slot-wheel"),
    Host("inch-table", "surface-steps.nc", "face-mill-wheel", "N100"),
    Host("shuttle", "punch-notch.nc", "notch-wheel"),
    Host("leaning-slide", "clearance-five-axes.nc", "clearance-wheel"),
    Host("long-slide", "broach-teeth.nc", "broach-wheel"),
)


def fitting() -> Iterator[tuple[Host, str]]:
    """Each program with every control that can read it."""
    return ((host, control) for host in HOSTS for control in CONTROLS if host.fits(control))


@dataclass(frozen=True)
class Bench:
    """A copy of one machine's folder, on a control of choice."""

    root: Path

    @classmethod
    def of(cls, host: Host, control: str, root: Path) -> Bench:
        shutil.copytree(data_folder("machines") / host.machine, root / host.machine)
        file = root / host.machine / "machine.toml"
        text = re.sub(r'^control = ".*"$', f'control = "{control}"', file.read_text(), flags=re.MULTILINE)
        if "plunge_axis" in text and "machine_frame_feeds" not in text:
            text = re.sub(r"^(plunge_axis = .*)$", r"\1\nmachine_frame_feeds = true", text, flags=re.MULTILINE)
        file.write_text(text)
        return cls(root / host.machine)

    @property
    def machine(self) -> Path:
        return self.root / "machine.toml"

    def recipe(self, host: Host) -> Path:
        return self.root / "dress" / f"{host.recipe}.toml"

    def program(self, host: Host) -> Path:
        return self.root / "hosts" / host.file

    def right_once(self, host: Host) -> bool:
        """Whether the dress has the numbers of one stick, so that no subprogram of it may be called again."""
        program = pair_at(self.recipe(host)).draft()
        return program.dress.dresser.needs_length and not program.by_registers

    def spliced(self, host: Host, *, call: bool = False, back: bool = False) -> Spliced:
        return prepare_spliced(self.program(host), self.recipe(host), Asked(after=host.after, call=call, back=back))
