"""The sheet as a browser prints and shows it, in wide, usual and narrow letters: two pages on either paper, nothing cut
off, nothing across anything else. Chromium and poppler are the judges, and axe-core for readers who cannot see it."""

from __future__ import annotations

import re
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import playwright.sync_api
import pytest
from axe_playwright_python.sync_playwright import Axe
from benches import Page, shop, variants
from chromium import FONTS, chromium, in_font

from gen.base.languages import languages
from gen.paper.sheet import sheet
from outside import outside

PROGRAMS = variants() | shop()
PAPERS = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
"""Width and height in mm: ISO 216, ANSI/ASME Y14.1."""

POINTS_PER_MM = 72 / 25.4
MOST_TOLD = ["demo", "pack", "crowded", "timed", "inclined", "north-bench/outside-wide"]
"""The sheets that are fullest, or are of a kind of their own."""


@pytest.fixture(scope="module")
def page() -> Iterator[playwright.sync_api.Page]:
    with chromium() as opened:
        yield opened


def told_by(*command: str) -> str:
    return subprocess.run(
        [outside(command[0]), *command[1:]], check=True, capture_output=True, text=True, timeout=60
    ).stdout


Box = tuple[float, float, float, float]


def words_of(pdf: Path) -> list[list[tuple[Box, str]]]:
    """Each page's words with their boxes, mm."""
    pages = told_by("pdftotext", "-bbox", str(pdf), "-").split("<page ")[1:]
    found = r'<word xMin="([\d.-]+)" yMin="([\d.-]+)" xMax="([\d.-]+)" yMax="([\d.-]+)">(.*?)</word>'
    return [
        [
            (
                (
                    float(a) / POINTS_PER_MM,
                    float(b) / POINTS_PER_MM,
                    float(c) / POINTS_PER_MM,
                    float(d) / POINTS_PER_MM,
                ),
                w,
            )
            for a, b, c, d, w in re.findall(found, one)
        ]
        for one in pages
    ]


def overprinted(words: list[tuple[Box, str]]) -> list[tuple[str, str]]:
    """Pairs of words of which one lies on the other by more than half a letter and half its height."""
    ordered = sorted(words, key=lambda word: word[0][1])
    bad = []
    for at, ((left, top, right, bottom), word) in enumerate(ordered):
        for (left2, top2, right2, bottom2), other in ordered[at + 1 :]:
            if top2 > bottom:
                break
            wide, high = min(right, right2) - max(left, left2), min(bottom, bottom2) - max(top, top2)
            # letters with a white edge are drawn twice, in the same place
            if word == other and max(abs(left - left2), abs(top - top2)) < 1.2:
                continue
            if wide > 0.8 and high > 0.5 * min(bottom - top, bottom2 - top2):
                bad.append((word, other))
    return bad


def is_printed_whole(page: playwright.sync_api.Page, html: str, paper: str, folder: Path) -> None:
    """``html`` on ``paper``: two pages, within the margins, every word there and none on another."""
    pdf = folder / "sheet.pdf"
    page.set_content(html)
    page.pdf(path=pdf, format=paper)
    width, height = PAPERS[paper]
    info = told_by("pdfinfo", str(pdf))
    assert re.search(r"^Pages: +2$", info, re.MULTILINE), info
    size = re.search(r"^Page size: +([\d.]+) x ([\d.]+) pts", info, re.MULTILINE)
    assert size
    assert [float(size[1]), float(size[2])] == pytest.approx([width * POINTS_PER_MM, height * POINTS_PER_MM], abs=1)
    pages = words_of(pdf)
    boxes = [box for words in pages for box, _ in words]
    left, top, right, bottom = zip(*boxes, strict=True)
    # room for the holes at the left
    assert min(left) >= 14.5
    assert min(top) >= 9
    assert max(right) <= width - 9.3
    assert max(bottom) <= height - 9
    assert [overprinted(words) for words in pages] == [[], []]
    seen = re.sub(r"\W", "", told_by("pdftotext", "-raw", str(pdf), "-"))
    for word in set(Page(html).text.split()):
        assert re.sub(r"\W", "", word) in seen


@pytest.mark.parametrize("language", languages())
@pytest.mark.parametrize("name", PROGRAMS)
def test_it_is_two_pages_in_the_widest_letters(
    page: playwright.sync_api.Page, name: str, language: str, tmp_path: Path
) -> None:
    html = in_font(sheet(PROGRAMS[name], language).html, "DejaVu Sans")
    for paper in PAPERS:
        is_printed_whole(page, html, paper, tmp_path)


@pytest.mark.parametrize("font", list(FONTS)[1:])
@pytest.mark.parametrize("language", languages())
@pytest.mark.parametrize("name", MOST_TOLD)
def test_it_is_two_pages_in_other_letters(
    page: playwright.sync_api.Page, name: str, language: str, font: str, tmp_path: Path
) -> None:
    html = in_font(sheet(PROGRAMS[name], language).html, font)
    for paper in PAPERS:
        is_printed_whole(page, html, paper, tmp_path)


# what lies beyond the window, or is wider than its own box, is cut off or has to be scrolled to; and of two lines
# of text none lies on another
LOOK = """() => {
  const wide = [...document.querySelectorAll('body *:not(svg *)')].filter(one =>
    one.getBoundingClientRect().right > document.documentElement.clientWidth + 1 ||
    (one.scrollWidth > one.clientWidth + 1 && getComputedStyle(one).display === 'block'));
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT), rows = [];
  for (let node = walker.nextNode(); node; node = walker.nextNode()) {
    if (!node.textContent.trim() || node.parentElement.closest('svg')) continue;
    const range = document.createRange();
    range.selectNodeContents(node);
    for (const box of range.getClientRects()) rows.push([node.textContent.trim().slice(0, 30), box]);
  }
  rows.sort((one, other) => one[1].top - other[1].top);
  const over = [];
  rows.forEach(([words, a], at) => {
    for (const [other, b] of rows.slice(at + 1)) {
      if (b.top > a.bottom) break;
      const across = Math.min(a.right, b.right) - Math.max(a.left, b.left);
      const down = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
      if (across > 2 && down > 0.5 * Math.min(a.height, b.height)) over.push([words, other]);
    }
  });
  return { beyond: [...new Set(wide.map(one => one.tagName + '.' + one.className))], over,
    scroll: document.documentElement.scrollWidth - document.documentElement.clientWidth };
}"""


@pytest.mark.parametrize("font", FONTS)
@pytest.mark.parametrize("language", languages())
@pytest.mark.parametrize("name", ["demo", "pack", "inch", "crowded", "timed"])
def test_nothing_is_beyond_the_window_or_across_on_a_screen(
    page: playwright.sync_api.Page, name: str, language: str, font: str
) -> None:
    html = in_font(sheet(PROGRAMS[name], language).html, font)
    for width in (390, 800, 1400):
        page.set_viewport_size({"width": width, "height": 900})
        page.set_content(html)
        assert page.evaluate(LOOK) == {"beyond": [], "over": [], "scroll": 0}, width


def test_the_judge_sees_what_is_beyond_and_across(page: playwright.sync_api.Page) -> None:
    html = sheet(PROGRAMS["demo"]).html.replace("</style>", "li { margin-bottom: -1em; } h1 { width: 150vw; }</style>")
    page.set_viewport_size({"width": 800, "height": 900})
    page.set_content(html)
    found = page.evaluate(LOOK)
    assert found["over"]
    assert found["beyond"]


@pytest.mark.parametrize("width", [390, 1400])
@pytest.mark.parametrize("language", languages())
@pytest.mark.parametrize("name", ["demo", "pack", "timed", "cup"])
def test_it_can_be_read_without_being_seen(
    page: playwright.sync_api.Page, name: str, language: str, width: int
) -> None:
    # axe-core: heads of rows and columns, languages, alternatives, order of headings, contrast (WCAG 2.1)
    page.set_viewport_size({"width": width, "height": 900})
    page.set_content(sheet(PROGRAMS[name], language).html)
    found: dict[str, Any] = Axe().run(page).response
    assert [(one["id"], [node["html"] for node in one["nodes"]]) for one in found["violations"]] == []
    assert len(found["passes"]) > 15
