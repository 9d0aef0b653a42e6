"""The drawings: what lies where, by numbers worked out by hand; and the SVG: whole, black on white, with its words."""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString, Polygon

from gen.base.places import data_folder
from gen.base.widths import width as widest
from gen.jobs.pair import pair_at
from gen.paper.charts.feed import feed_chart
from gen.paper.charts.motion import LEAST_DEPTH, motion_chart
from gen.paper.charts.plot import BROAD, FLAT, FULL, LOW, SMALL, Scale, hatch, round_step
from gen.paper.charts.stick import stick_chart
from runner import invoke

SHOP = data_folder("machines")
FLUTE = SHOP / "north-bench/dress/flute-rough.toml"
RECIPES = sorted(SHOP.glob("*/dress/*.toml"))
SVG = "{http://www.w3.org/2000/svg}"


def run(*words: object) -> str:
    result = invoke(*words)
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
        if element.get("transform"):
            continue
        for key, most in (("x", width), ("x1", width), ("x2", width), ("y", height), ("y1", height), ("y2", height)):
            assert 0 <= float(element.get(key, "0").rstrip("%")) <= most
        for pair in element.get("points", "").split():
            x, y = map(float, pair.split(","))
            assert 0 <= x <= width
            assert 0 <= y <= height


def test_the_operating_point_lies_on_the_target_within_the_band() -> None:
    chart = feed_chart(pair_at(FLUTE).draft().dress, FULL)
    (point,) = chart.points
    assert (point.speed, point.feed) == ("20 m/s", "300 mm/min")
    # on the ray from the origin: both distances from it in one proportion
    (target,) = (one.line for one in chart.targets)
    run_, rise = target.x2 - target.x1, target.y2 - target.y1
    on_target = target.y1 + (point.x - target.x1) / run_ * rise
    assert point.y == pytest.approx(on_target, abs=0.2)
    band = Polygon([tuple(map(float, pair.split(","))) for pair in chart.band.split()])
    assert band.contains(LineString([(point.x, point.y - 1), (point.x, point.y + 1)]))


def test_the_windows_are_what_the_spindle_gives_new_and_worn() -> None:
    chart = feed_chart(pair_at(FLUTE).draft().dress, FULL)
    # π · 125 · 500/60000 = 3.27, · 6000 = 39.27; worn π · 100: 2.62 and 31.42 m/s; 63 m/s is marked
    assert [(window.name, window.speeds) for window in chart.windows] == [
        ("new", "3.27 – 39.27 m/s"),
        ("worn", "2.62 – 31.42 m/s"),
    ]
    assert (chart.feeds, chart.marked_text) == ("10 – 400 mm/min", "63 m/s")
    assert chart.marked is not None


def test_the_plunge_is_to_scale_with_stick_and_wheel_and_a_longer_way_is_broken() -> None:
    chart = motion_chart(pair_at(FLUTE).draft(), FULL)
    assert chart is not None
    rapid, plunge, back = chart.ways
    per_mm = (plunge.x2 - plunge.x1) / 12  # 4 mm of clearance, 8 mm deep
    assert chart.contact - plunge.x1 == pytest.approx(4 * per_mm, abs=0.05)
    assert plunge.cuts is not None
    assert plunge.cuts.x1 == chart.contact
    assert plunge.text_at == pytest.approx(plunge.x2 + 0.9 * FULL.type, abs=0.05)
    assert (back.x1, back.x2) == (plunge.x2, chart.parked)
    assert rapid.y < plunge.y < back.y
    # parked 0, envelope 47.5 − 4: 43.5 mm of rapid do not fit beside it, and the break lies on that way
    assert rapid.x2 - rapid.x1 < 43.5 * per_mm
    assert rapid.x1 < chart.breaks[0] < rapid.x2
    assert chart.enlarged == ""
    outline = [tuple(map(float, pair.split(","))) for pair in chart.outline.split()]
    assert outline[-1][1] - outline[0][1] == pytest.approx(25 * per_mm, abs=0.05)
    # the wheel's arc at half the stick's height: 62.5 − √(62.5² − 12.5²) = 1.263 mm behind its foremost point
    arc = [tuple(map(float, pair.split(","))) for pair in chart.wheel_at.split()]
    line = LineString([(0, chart.middle + 12.5 * per_mm), (FULL.width, chart.middle + 12.5 * per_mm)])
    assert Polygon(arc).intersection(line).bounds[0] - chart.contact == pytest.approx(1.263 * per_mm, abs=0.3)


def test_where_a_plunge_would_be_too_small_to_be_seen_it_is_drawn_larger_and_says_how_much() -> None:
    chart = motion_chart(pair_at(SHOP / "pack-grinder/dress/drill-pack.toml").draft(), FLAT, numbers={})
    assert chart is not None
    plunge = next(way for way in chart.ways if way.kind == "plunge")
    assert plunge.cuts is not None
    assert plunge.x2 - chart.contact >= LEAST_DEPTH * FLAT.type - 0.05
    outline = [tuple(map(float, pair.split(","))) for pair in chart.outline.split()]
    along = (plunge.x2 - chart.contact) / 3  # points for a millimetre of the plunge's 3, and of the stick's 25
    assert float(chart.enlarged) == pytest.approx(along / ((outline[-1][1] - outline[0][1]) / 25), abs=0.06)


def test_an_inclined_slide_meets_a_face_at_its_angle() -> None:
    chart = motion_chart(pair_at(SHOP / "leaning-slide/dress/clearance-wheel.toml").draft(), FULL)
    assert chart is not None
    (x1, y1), (x2, y2), *_ = (tuple(map(float, pair.split(","))) for pair in chart.wheel_at.split())
    stretch = float(chart.enlarged or 1)
    assert math.degrees(math.atan((x2 - x1) / stretch / (y2 - y1))) == pytest.approx(20, abs=0.5)
    # the nearer edge of the face is where stick and wheel meet
    assert x1 <= chart.contact + 0.05


def test_places_of_one_axis_are_told_beside_each_other() -> None:
    for recipe in RECIPES:
        for size in (FULL, BROAD, FLAT):
            chart = motion_chart(pair_at(recipe).draft(), size)
            assert chart is not None
            boxes = [(one.text_x, one.y, widest(one.text, size.type)) for one in chart.places if not one.contact]
            for at, (x, y, wide) in enumerate(boxes):
                assert wide / 2 - 0.01 <= x <= size.width - wide / 2 + 0.01
                assert all(y2 != y or abs(x2 - x) >= (wide + wide2) / 2 for x2, y2, wide2 in boxes[at + 1 :])


def test_the_end_of_the_stick_has_its_real_proportions() -> None:
    chart = stick_chart(pair_at(FLUTE).draft().dress, LOW)
    assert chart.end.height / chart.end.width == pytest.approx(25 / 10, abs=0.02)


def test_every_target_of_a_pack_has_a_line_and_wheels_that_lie_together_one_label() -> None:
    chart = feed_chart(pair_at(SHOP / "pack-grinder/dress/drill-pack.toml").draft().dress, SMALL)
    assert [(one.target, one.wheels) for one in chart.targets] == [("250", (1, 3)), ("220", (2,))]
    told = ", ".join(point.label for point in chart.points if point.label)
    assert sorted(told.split(", ")) == ["1", "2", "3"]


def test_the_lanes_cover_the_end() -> None:
    chart = stick_chart(pair_at(SHOP / "pack-grinder/dress/drill-pack.toml").draft().dress, FULL)
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
    assert "Umfangsgeschwindigkeit" in out.read_text()
    refused = invoke("chart", str(FLUTE), "--language", "xx")
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
