"""The section on the page against the recipe: how the stick leans, where it meets each wheel, which wheels it shows.

The browser says where each corner ended up on the screen; what is due is worked out here from the recipe's own keys
and the positions that the page shows, with the scale told by the drawn width of a wheel.
"""

from __future__ import annotations

import math
import tomllib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from browser import chosen, opened
from moments_read import numbers
from playwright.sync_api import Page

from changed import changed
from gen.base.places import data_folder
from gen.base.toml import as_toml
from runner import invoke

SECTION = """(index) => {
  const slider = document.getElementById("moment");
  slider.value = index;
  slider.dispatchEvent(new Event("input"));
  const section = document.querySelector("polygon[data-wheel]").ownerSVGElement;
  const corners = (one) => [...one.points].map((at) => {
    const there = at.matrixTransform(one.getScreenCTM());
    return [there.x, there.y];
  });
  const shown = (one) => getComputedStyle(one).display !== "none";
  return {
    stick: corners(section.querySelector("polygon.stick")),
    wheels: [...section.querySelectorAll("polygon[data-wheel]")].map((one) => shown(one) ? corners(one) : null),
    says: document.getElementById(`${section.id}-says`).textContent,
    now: document.getElementById("now").textContent,
    position: document.getElementById("position").textContent,
    gap: document.getElementById("gap").textContent,
  };
}"""

Point = tuple[float, float]


@dataclass(frozen=True)
class Drawn:
    """One moment's section, in pixels: x along a straight plunge, y along the spindle."""

    stick: list[Point]
    wheels: list[list[Point] | None]
    says: str
    now: str
    position: str
    gap: str

    @property
    def lean(self) -> float:
        """Degrees from the square of the spindle to the stick's side, from its seat out."""
        (x, y), (far, aside) = self.stick[0], self.stick[1]
        return math.degrees(math.atan2(aside - y, far - x))

    def met(self, wheel: int) -> float:
        """How far from the middle of the surface of ``wheel`` the stick's middle line crosses it, in wheel widths."""
        corners = self.wheels[wheel]
        assert corners is not None
        (surface, low), (_, high) = corners[0], corners[1]
        (x, y), (seat, across) = self.stick[0], self.stick[-1]
        middle, slope = ((x + seat) / 2, (y + across) / 2), math.tan(math.radians(self.lean))
        return (middle[1] + slope * (surface - middle[0]) - (low + high) / 2) / (high - low)


def moments(page: Page, size: int = 0, length: int = 0) -> list[Drawn]:
    chosen(page, size, length)
    last = int(page.get_attribute("#moment", "max") or 0)
    return [Drawn(**page.evaluate(SECTION, index)) for index in range(last + 1)]


def shown(folder: Path, machine: str, name: str, recipe: dict[str, Any], bench: dict[str, Any]) -> Path:
    """The page of the demo shop's ``name`` on ``machine``, with changes by dotted key to both."""
    there, here = data_folder("machines") / machine, folder / "machines" / machine
    files = {"machine.toml": bench, f"dress/{name}.toml": recipe}
    for file, changes in files.items():
        (here / file).parent.mkdir(parents=True, exist_ok=True)
        (here / file).write_text(as_toml(changed(tomllib.loads((there / file).read_text()), changes)))
    made = invoke("generate", here / f"dress/{name}.toml", "--out", folder / "programs")
    assert made.exit_code == 0, made.output
    (program,) = (one for one in (folder / "programs" / machine).iterdir() if one.suffix not in (".html", ".txt"))
    target = folder / "page.html"
    assert invoke("show", program, "--machines", folder / "machines", "--out", target).exit_code == 0
    return target


@pytest.mark.parametrize("sense", ["+", "-"])
@pytest.mark.parametrize("angle", [10.0, 30.0])
def test_an_inclined_stick_is_drawn_at_its_angle_and_meets_the_wheel_where_the_recipe_says(
    sense: str, angle: float, tmp_path: Path
) -> None:
    """The clearance wheel: 20 mm wide at Z 96 mm, worn 105 mm and new 125 mm, a stick of 12 mm / cos α at two stations.

    The stations lie as far to either side of the wheel's middle as the stick is narrower, worn or new: Z follows by
    (125 mm − 105 mm)/2 · tan α in the stated sense.
    """
    lean = {"dresser.inclination": f"{angle} deg", "dresser.recentre": sense, "axes.U.travel": ["0 mm", "180 mm"]}
    page_file = shown(tmp_path, "leaning-slide", "clearance-wheel", {}, lean)
    aside = (20 - 12 / math.cos(math.radians(angle))) / 2
    with opened(page_file) as page:
        for size, drift in ((0, 0.0), (2, 10 * math.tan(math.radians(angle)))):
            plunged = [one for one in moments(page, size) if "contact, depth" in one.gap]
            assert len(plunged) == 2
            # Z counts upward on the page: a stick that comes down toward the wheel meets a smaller one further down
            assert {round(one.lean, 2) for one in plunged} == {angle if sense == "+" else -angle}
            assert [one.met(0) for one in plunged] == pytest.approx([aside / 20, -aside / 20], abs=0.002)
            middle = sum(numbers(one.position)["Z"] for one in plunged) / 2
            assert middle == pytest.approx(96 + (drift if sense == "+" else -drift), abs=0.02)


OWN = {"wheel.1.at": {"X": "180 mm"}}


def test_a_wheel_with_positions_of_its_own_is_drawn_while_the_axes_stand_there(tmp_path: Path) -> None:
    """The gash wheel of the drill pack has X at 180 mm, the other two at the machine's 220 mm."""
    with opened(shown(tmp_path, "pack-grinder", "drill-pack", OWN, {})) as page:
        told = moments(page)
    seen = []
    for one in told:
        stands = numbers(one.position).get("X")
        drawn = [number for number, wheel in enumerate(one.wheels) if wheel is not None]
        assert drawn == {180.0: [1], 220.0: [0, 2]}.get(stands or 0, [])
        assert ("stands elsewhere and is not drawn" in one.says) == (len(drawn) < 3)
        assert drawn or one.gap == "not known"
        if "contact, depth" in one.gap:
            seen.append([number for number in drawn if abs(one.met(number)) < 1])
    assert [wheel for wheel in ([0], [1], [2]) if wheel in seen] == [[0], [1], [2]]


def test_wheels_that_share_their_positions_are_all_drawn_all_the_time(tmp_path: Path) -> None:
    with opened(shown(tmp_path, "pack-grinder", "drill-pack", {}, {})) as page:
        for one in moments(page):
            assert None not in one.wheels
            assert "elsewhere" not in one.says
