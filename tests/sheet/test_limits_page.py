"""The table of limits on a page, as a browser shows it: on a phone, and to readers who cannot see it."""

from __future__ import annotations

from pathlib import Path

from axe_playwright_python.sync_playwright import Axe
from chromium import chromium

from gen.base.places import data_folder
from runner import invoke


def test_the_table_fits_a_phone_and_can_be_read_without_being_seen(tmp_path: Path) -> None:
    where = tmp_path / "limits.html"
    invoke("limits", str(data_folder("machines") / "north-bench"), "--html", str(where))
    with chromium() as page:
        for width in (390, 1400):
            page.set_viewport_size({"width": width, "height": 900})
            page.goto(where.as_uri())
            assert page.evaluate("document.documentElement.scrollWidth") <= width
            # no word is broken into columns of single letters
            assert page.evaluate("Math.min(...[...document.querySelectorAll('td')].map(e => e.clientWidth))") > 30
            assert Axe().run(page).response["violations"] == []
