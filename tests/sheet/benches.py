"""Small recipes of every kind that a sheet must suit, and what a reader sees on the page. All invented."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from decimal import Decimal
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

from changed import changed
from gen.base.finding import Finding
from gen.base.places import data_folder
from gen.bounds import judge
from gen.bounds.build import build
from gen.bounds.readback import cases
from gen.control.draft import Program, draft
from gen.control.options import Options
from gen.shop.load import load_machine, load_recipe
from gen.shop.machine import Machine
from gen.shop.recipe import Recipe
from slide_bench import MACHINE as SLIDE
from slide_bench import RECIPE as OPENING

MACHINE = changed(SLIDE, {"title": "Bench grinder", "dresser.guided": None, "registers.wheel_gauge": 505})
RECIPE = changed(
    OPENING,
    {
        "wheel.name": "Wheel 7",
        "wheel.concentration": 75,
        "stick.section": ["10 mm", "25 mm"],
        "dress.every_parts": 6,
    },
)


def program(
    recipe: Mapping[str, Any] | None = None,
    machine: Mapping[str, Any] | None = None,
    options: Options | None = None,
    warnings: tuple[str, ...] = (),
) -> Program:
    """The drafted program of the bench, with changes to both files and findings as bounds would add them."""
    made = draft(
        Recipe.model_validate(changed(RECIPE, recipe or {})),
        Machine.model_validate(changed(MACHINE, machine or {})),
        ("bench", "opening"),
        options or Options(),
    )
    measures = judge(cases(made)).measures
    found = tuple(Finding("override", 1, "warning", "unproven", warning) for warning in warnings)
    return replace(made, findings=found, measures=measures)


def flute_rough() -> Program:
    """The demo shop's example, from its own files."""
    return _of_the_shop("north-bench", "flute-rough")


def drill_pack() -> Program:
    """The demo shop's three wheels on one spindle."""
    return _of_the_shop("pack-grinder", "drill-pack")


def _of_the_shop(machine_name: str, name: str) -> Program:
    folder: Path = data_folder("machines") / machine_name
    recipe, machine = load_recipe(folder / "dress" / f"{name}.toml"), load_machine(folder / "machine.toml")
    return build(recipe, machine, (machine_name, name), Options())


def shop() -> dict[str, Program]:
    """Every recipe of the demo shop, judged, so that its warnings are on its sheet."""
    return {
        f"{path.parent.parent.name}/{path.stem}": build(
            load_recipe(path), load_machine(path.parent.parent / "machine.toml"), (path.parent.parent.name, path.stem)
        )
        for path in sorted(data_folder("machines").glob("*/dress/*.toml"))
    }


INCREMENTAL = {
    "control": "iso6983",
    "registers": None,
    "dresser.motion": "incremental",
    "dresser.datum": None,
    "dresser.parked": None,
    "dresser.stand_off": "4 mm",
}
TIMED = {
    "control": "iso6983",
    "registers": None,
    "dresser": {
        "kind": "timed",
        "rate": "300 mm/min",
        "rate_tolerance": "5 %",
        "air_tolerance": "5 %",
        "stand_off": "4 mm",
        "retract_wait": "1.2 s",
        "on_hold": "retracts",
        "on_reset": "retracts",
        "on_power_loss": "retracts",
        "single_block": "one-line",
        "min_stick": "30 mm",
        "lateral_axis": "Z",
        "at": {"X": "180 mm"},
    },
    "codes": {"feeder_on": "M71", "feeder_off": "M72"},
}
INCH = {
    "units": "inch",
    "control": "iso6983",
    "registers": None,
    "dresser.toward_wheel": "-",
    "dresser.datum": "-2 in",
    "dresser.parked": "7 in",
}
INCH_RECIPE = {
    "wheel.diameter": ["4 in", "5 in"],
    "wheel.width": "0.4 in",
    "wheel.lateral": "1.675 in",
    "stick.section": ["0.4 in", "1 in"],
    "stick.length": "5.5 in",
    "dress.wheel_speed": "4000 ft/min",
    "dress.plunge": "0.3 in",
}
CUP = {"wheel.contact": "face", "wheel.gauge": ["40 mm", "46 mm"], "wheel.shape": "6A2"}
CUP |= {"wheel.diameter": ["120 mm", "125 mm"]}
LONG = {
    "title": "A title as long as titles may be, as a shop would write it to tell this wheel"
    + " from all of the others"
    + "!" * 15,
    "wheel.name": "W" * 30 + " and a name of great length, which nobody ever reads to its end, but someone wrote it",
    "stick.section": ["40 mm", "25 mm"],
    "dress.plunges": 3,
    "dress.plunge": "2 mm",
}
WARNING = (
    "this control cannot lock its overrides; the band holds with the feed override from 80 % to 120 % and the "
    "spindle override at 100 %."
)


def variants() -> dict[str, Program]:
    """One program of every kind, by name."""
    return {
        "demo": flute_rough(),
        "pack": drill_pack(),
        "registers": program(),
        "numbers": program(
            options=Options(resolve=True, diameter=Decimal(110), length=Decimal(90)), warnings=(WARNING,)
        ),
        "incremental": program({"dress.plunges": 2}, INCREMENTAL, warnings=(WARNING,)),
        "timed": program({"dress.plunges": 3, "stick.section": ["18 mm", "25 mm"]}, TIMED, warnings=(WARNING,)),
        "inch": program(INCH_RECIPE, INCH, Options(form="subprogram"), (WARNING,)),
        "cup": program(CUP, {"dresser.datum": "210 mm"}, warnings=(WARNING,)),
        "inclined": program(
            {"stick.section": ["9 mm", "25 mm"]},
            {"dresser.inclination": "20 deg", "dresser.offset": {"word": "G59", "values": {"U": "5 mm"}}},
        ),
        "crowded": program(
            LONG, {"title": LONG["title"], "dresser.jaw": "22 mm"}, Options(form="subprogram"), (WARNING,) * 3
        ),
    }


@dataclass
class Page(HTMLParser):
    """A page as a parser sees it: tags with attributes, rows of tables, and the text a reader sees."""

    html: str
    tags: list[tuple[str, dict[str, str]]] = field(default_factory=list)
    rows: list[list[str]] = field(default_factory=list)
    text: str = ""
    title: str = ""
    drawn: str = ""
    figures: list[list[str]] = field(default_factory=list)
    _open: list[str] = field(default_factory=list)
    _caption: bool = False

    def __post_init__(self) -> None:
        super().__init__()
        self._rows = self.rows
        self.feed(self.html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, {name: value or "" for name, value in attrs}))
        if tag not in ("meta", "rect", "line", "circle", "polygon", "polyline"):
            self._open.append(tag)
        # captions belong to drawings, which the text form does not have
        self._caption = tag == "figcaption" or (tag == "p" and ("class", "caption") in attrs)
        if tag == "dl":
            self._rows = self.figures if ("class", "strip") in attrs else self.rows
        elif tag in ("table", "section"):
            self._rows = self.rows
        if tag in ("tr", "dt"):
            self._rows.append([])
        if tag in ("td", "th", "dt", "dd"):
            self._rows[-1].append("")

    def handle_endtag(self, tag: str) -> None:
        self.text += " "
        if tag in ("p", "figcaption"):
            self._caption = False
        if tag in ("rect", "line", "circle", "polygon", "polyline"):
            return
        while self._open and self._open.pop() != tag:
            pass

    def handle_data(self, data: str) -> None:
        if "svg" in self._open or self._caption:
            self.drawn += f"{data} "
        elif "title" in self._open:
            self.title += data
        elif "style" not in self._open:
            self.text += data
            if self._open and {"td", "th", "dt", "dd"} & set(self._open):
                self._rows[-1][-1] += data

    def row(self, head: str) -> list[str]:
        """The cells behind the first row header ``head``."""
        return next(cells for first, *cells in self.rows if first == head)

    def figure(self, head: str) -> str:
        """What stands large under ``head``, with what is small beside it."""
        return next(cells[0] for first, *cells in self.figures if first == head)


def plain(text: str) -> str:
    """``text`` on one line, so that it is found however it was wrapped."""
    return " ".join(text.split())
