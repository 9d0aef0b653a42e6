"""The sheet as a browser prints it: two pages on either paper, nothing cut off. Chromium and poppler are the judges."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

import pytest
from benches import Page, shop, variants

from gen.base.languages import languages
from gen.paper.sheet import sheet
from outside import outside

PROGRAMS = variants() | shop()
PAPERS = {"A4": (210.0, 297.0), "letter": (215.9, 279.4)}
"""Width and height in mm: ISO 216, ANSI/ASME Y14.1."""

CHROMIUM = ["--headless", "--no-sandbox", "--disable-gpu", "--disable-background-networking"]
POINTS_PER_MM = 72 / 25.4


def printed(html: str, paper: str, folder: Path) -> Path:
    """``html`` as a PDF on ``paper``, which the page itself leaves to the printer."""
    source, pdf = folder / "sheet.html", folder / "sheet.pdf"
    source.write_text(html.replace("</head>", f"<style>@page {{ size: {paper}; }}</style></head>"), encoding="utf-8")
    options = ["--no-pdf-header-footer", f"--user-data-dir={folder / 'profile'}", f"--print-to-pdf={pdf}"]
    subprocess.run(
        [outside("chromium"), *CHROMIUM, *options, source.as_uri()], check=True, capture_output=True, timeout=120
    )
    return pdf


def told_by(*command: str) -> str:
    return subprocess.run(
        [outside(command[0]), *command[1:]], check=True, capture_output=True, text=True, timeout=60
    ).stdout


@pytest.mark.parametrize("language", languages())
@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("name", PROGRAMS)
def test_it_is_two_pages_and_nothing_is_cut_off(name: str, paper: str, language: str, tmp_path: Path) -> None:
    html = sheet(PROGRAMS[name], language).html
    pdf = printed(html, paper, tmp_path)
    width, height = PAPERS[paper]
    info = told_by("pdfinfo", str(pdf))
    assert re.search(r"^Pages: +2$", info, re.MULTILINE), info
    size = re.search(r"^Page size: +([\d.]+) x ([\d.]+) pts", info, re.MULTILINE)
    assert size
    assert [float(size[1]), float(size[2])] == pytest.approx([width * POINTS_PER_MM, height * POINTS_PER_MM], abs=1)

    boxes = told_by("pdftotext", "-bbox", str(pdf), "-")
    words = re.findall(r'<word xMin="([\d.-]+)" yMin="([\d.-]+)" xMax="([\d.-]+)" yMax="([\d.-]+)">', boxes)
    left, top, right, bottom = ([float(word[side]) / POINTS_PER_MM for word in words] for side in range(4))
    assert min(left) >= 5
    assert min(top) >= 5
    assert max(right) <= width - 5
    assert max(bottom) <= height - 5

    seen = re.sub(r"\W", "", told_by("pdftotext", "-raw", str(pdf), "-"))
    for word in set(Page(html).text.split()):
        assert re.sub(r"\W", "", word) in seen


# what lies beyond the window, or is wider than its own box, is cut off or has to be scrolled to
LOOK = """<script>
const wide = [...document.querySelectorAll('body *:not(svg *)')].filter(one =>
  one.getBoundingClientRect().right > document.documentElement.clientWidth + 1 ||
  (one.scrollWidth > one.clientWidth + 1 && getComputedStyle(one).display === 'block'));
document.title = 'beyond:' + [...new Set(wide.map(one => one.tagName + '.' + one.className))].join(' ')
  + ';scroll:' + (document.documentElement.scrollWidth - document.documentElement.clientWidth);
</script>"""


@pytest.mark.parametrize("width", [500, 800, 1400])
@pytest.mark.parametrize("language", languages())
@pytest.mark.parametrize("name", ["demo", "pack", "inch", "crowded"])
def test_nothing_is_beyond_the_window_on_a_screen(name: str, language: str, width: int, tmp_path: Path) -> None:
    source = tmp_path / "sheet.html"
    html = sheet(PROGRAMS[name], language).html
    source.write_text(html.replace("</body>", f"{LOOK}</body>"), encoding="utf-8")
    options = [f"--user-data-dir={tmp_path / 'profile'}", f"--window-size={width},900", "--dump-dom"]
    page = told_by("chromium", *CHROMIUM, *options, source.as_uri())
    assert "<title>beyond:;scroll:0</title>" in page
