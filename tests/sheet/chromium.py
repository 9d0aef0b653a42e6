"""One browser for all pages of a test file, and the fonts they are set in."""

from __future__ import annotations

import subprocess
from collections.abc import Iterator
from contextlib import contextmanager

from playwright.sync_api import Page

from driven import browser
from outside import leave_out, outside

FONTS = {
    "DejaVu Sans": "fonts-dejavu-core",
    "Liberation Sans": "fonts-liberation",
    "DejaVu Sans Condensed": "fonts-dejavu-extra",
}
"""The widest of the usual fonts, one as wide as most, and a narrow one, each with the Debian package that has it."""


@contextmanager
def chromium() -> Iterator[Page]:
    """An empty page of Debian's Chromium."""
    with browser() as one:
        yield one.new_page()


def in_font(html: str, font: str) -> str:
    """``html`` with all of its letters in ``font``; without that font the test is left out, or fails in ``.ci/run``."""
    found = subprocess.run([outside("fc-list"), font, "family"], capture_output=True, text=True, check=True).stdout
    if not found.strip():
        leave_out(f"the font {font} is not installed; Debian has it in the package {FONTS[font]}")
    return html.replace("</head>", f'<style>body, svg, code {{ font-family: "{font}" !important; }}</style></head>')
