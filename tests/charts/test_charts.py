"""The drawings: what lies where, by numbers worked out by hand; and the SVG: whole, black on white, with its words."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest
from click.testing import CliRunner
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString, Polygon

from gen.base.places import data_folder
from gen.cli import main
from gen.jobs.generate import drafted
from gen.paper.charts.feed import feed_chart
from gen.paper.charts.motion import motion_chart
from gen.paper.charts.plot import FULL, Scale, hatch, round_step
from gen.paper.charts.stick import stick_chart

SHOP = data_folder("machines")
FLUTE = SHOP / "north-bench/dress/flute-rough.toml"
RECIPES = sorted(SHOP.glob("*/dress/*.toml"))
SVG = "{http://www.w3.org/2000/svg}"


def run(*words: object) -> str:
    result = CliRunner().invoke(main, [str(word) for word in words])
    assert result.exit_code == 0, result.output
    return result.stdout


@pytest.mark.parametrize("kind", ["feed", "motion", "stick"])
@pytest.mark.parametrize("recipe", RECIPES, ids=lambda path: path.stem)
def test_every_drawing_is_whole_black_and_told_in_words(recipe: Path, kind: str) -> None:
    svg = run("chart", recipe, "--kind", kind)
    root = ET.fromstring(svg)
    assert root.tag == f"{SVG}svg"
    named = {element.get("id"): element.text or "" for element in root if element.tag in (f"{SVG}title", f"{SVG}desc")}
    labels = (root.get("aria-labelledby") or "").split()
    assert [bool(named[label].strip()) for label in labels] == [True, True]
    assert set(re.findall(r"#[0-9a-f]{3,6}", svg)) <= {"#000", "#fff"}
    assert not re.search(r"href|url\(|<script|<image|<style", svg)
    # every number lies on the sheet, so that nothing is cut off
    _, _, width, height = map(float, (root.get("viewBox") or "").split())
    for element in root.iter():
        for key, most in (("x", width), ("x1", width), ("x2", width), ("y", height), ("y1", height), ("y2", height)):
            assert 0 <= float(element.get(key, "0").rstrip("%")) <= most
        for pair in element.get("points", "").split():
            x, y = map(float, pair.split(","))
            assert 0 <= x <= width
            assert 0 <= y <= height


def test_the_operating_point_lies_on_the_target_within_the_band() -> None:
    chart = feed_chart(drafted(FLUTE).dress, "", FULL)
    (point,) = chart.points
    assert (point.speed, point.feed) == ("20 m/s", "300 mm/min")
    # on the ray from the origin: both distances from it in one proportion
    run_, rise = chart.target.x2 - chart.target.x1, chart.target.y2 - chart.target.y1
    on_target = chart.target.y1 + (point.x - chart.target.x1) / run_ * rise
    assert point.y == pytest.approx(on_target, abs=0.2)
    band = Polygon([tuple(map(float, pair.split(","))) for pair in chart.band.split()])
    assert band.contains(LineString([(point.x, point.y - 1), (point.x, point.y + 1)]))


def test_the_windows_are_what_the_spindle_gives_new_and_worn() -> None:
    chart = feed_chart(drafted(FLUTE).dress, "", FULL)
    # π · 125 · 500/60000 = 3.27, · 6000 = 39.27; worn π · 100: 2.62 and 31.42 m/s; 63 m/s is marked
    assert [(window.name, window.speeds) for window in chart.windows] == [
        ("new", "3.27 – 39.27 m/s"),
        ("worn", "2.62 – 31.42 m/s"),
    ]
    assert (chart.feeds, chart.marked_text) == ("10 – 400 mm/min", "63 m/s")
    assert chart.marked is not None


def test_the_motion_is_to_scale() -> None:
    chart = motion_chart(drafted(FLUTE), "", FULL)
    assert chart is not None
    rapid, plunge, back = chart.ways
    per_mm = (rapid.x2 - rapid.x1) / 43.5  # parked 0, envelope 47.5 − 4
    assert chart.contact - chart.parked == pytest.approx(47.5 * per_mm, abs=0.05)
    assert plunge.x2 - plunge.x1 == pytest.approx(12 * per_mm, abs=0.05)  # 4 mm of clearance, 8 mm deep
    assert chart.gap.x2 - chart.gap.x1 == pytest.approx(4 * per_mm, abs=0.05)
    assert (back.x1, back.x2) == (plunge.x2, chart.parked)
    assert chart.parked_row < rapid.y < chart.contact_row < plunge.y < back.y
    # the wheel's arc at half the stick's height: 62.5 − √(62.5² − 12.5²) = 1.263 mm behind its foremost point
    arc = [tuple(map(float, pair.split(","))) for pair in chart.wheel_at.split()]
    line = LineString([(0, chart.middle + 12.5 * per_mm), (FULL.width, chart.middle + 12.5 * per_mm)])
    assert Polygon(arc).intersection(line).bounds[0] - chart.contact == pytest.approx(1.263 * per_mm, abs=0.3)


def test_the_lanes_cover_the_end() -> None:
    chart = stick_chart(drafted(SHOP / "pack-grinder/dress/drill-pack.toml").dress, "", FULL)
    assert [lane.wheel for lane in chart.lanes] == [1, 1, 2, 2, 2, 3, 3]
    per_mm = chart.end.width / 16
    assert chart.end.height == pytest.approx(25 * per_mm, abs=0.05)
    for wheel, width in ((1, 10), (2, 6), (3, 20)):
        lanes = [lane for lane in chart.lanes if lane.wheel == wheel]
        assert min(lane.x1 for lane in lanes) <= chart.end.left + 0.05
        assert max(lane.x2 for lane in lanes) >= chart.end.right - 0.05
        assert all(lane.x2 - lane.x1 == pytest.approx(width * per_mm, abs=0.05) for lane in lanes)


def test_power_over_parts(tmp_path: Path) -> None:
    out = tmp_path / "power.svg"
    run("interval", SHOP / "north-bench/logs/flute-rough-good.csv", "--limit", "2 kW", "--chart", out)
    root = ET.fromstring(out.read_text())
    log = (SHOP / "north-bench/logs/flute-rough-good.csv").read_text().split("\n")[1:-1]
    # a ring for each part, and one in the key
    assert len(root.findall(f".//{SVG}circle")) == len(log) + 1
    told = " ".join(root.itertext())
    assert "The dresses are good" in told
    assert "limit 2.00 kW" in told


def test_it_is_written_whole_and_in_the_language_asked_for(tmp_path: Path) -> None:
    out = tmp_path / "feed.svg"
    assert run("chart", FLUTE, "--out", out, "--language", "de") == ""
    assert "Schnittgeschwindigkeit" in out.read_text()
    refused = CliRunner().invoke(main, ["chart", str(FLUTE), "--language", "xx"])
    assert refused.exit_code == 2
    assert 'there is no language "xx"; there is "de" and "en"' in refused.output.replace("de and en", '"de" and "en"')


@given(st.floats(1e-6, 1e6))
def test_steps_are_round_and_never_too_small(least: float) -> None:
    step = round_step(least)
    assert step >= least * (1 - 1e-6)
    assert step <= 2.5 * least * (1 + 1e-6)
    assert f"{step:.6e}"[0] in "125"


def test_ticks_lie_within_the_scale() -> None:
    ticks = Scale(0, 67, 100, 200).ticks(6)
    assert [tick.text for tick in ticks] == ["0", "20", "40", "60"]
    assert ticks[1].at == pytest.approx(100 + 20 / 67 * 100, abs=0.01)


@given(st.lists(st.tuples(st.integers(0, 200), st.integers(0, 200)), min_size=3, max_size=9))
def test_hatching_stays_within_what_it_fills(points: list[tuple[int, int]]) -> None:
    # shapely is the outside judge
    hull = Polygon(LineString(points).convex_hull) if LineString(points).convex_hull.area > 1 else None
    if hull is None:
        return
    corners = list(hull.exterior.coords)[:-1]
    lines = hatch(corners, 5)
    grown = hull.buffer(0.1)
    assert all(grown.contains(LineString([(line.x1, line.y1), (line.x2, line.y2)])) for line in lines)
    along = [x + y for x, y in corners]
    assert len(lines) >= int((max(along) - min(along)) / (5 * 2**0.5)) - 1
