"""A page in a real browser, driven as a person would."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from playwright.sync_api import Page

from driven import browser


@contextmanager
def opened(path: Path | None, width: int = 1100, height: int = 900) -> Iterator[Page]:
    """The page at ``path`` (None: an empty one) in Chromium; a complaint, or a call to the network, is an error."""
    with browser() as one:
        page = one.new_page(viewport={"width": width, "height": height})
        wrong: list[str] = []
        page.on("pageerror", lambda error: wrong.append(str(error)))
        page.on("console", lambda message: wrong.append(message.text) if message.type == "error" else None)
        page.on("request", lambda request: wrong.append(request.url) if not request.url.startswith("file:") else None)
        if path is not None:
            page.goto(path.as_uri())
        yield page
        assert wrong == []


SHOWN = ("now", "source-line", "position", "feed", "spindle", "coolant", "gap", "registers", "finding")

WALK = """(SHOWN) => {
  const told = [], slider = document.getElementById("moment");
  const text = (id) => document.getElementById(id).textContent;
  for (let index = 0; index <= Number(slider.max); index += 1) {
    slider.value = index;
    slider.dispatchEvent(new Event("input"));
    const shown = ["now", "source-line", "position", "feed", "spindle", "coolant", "gap", "registers", "finding"];
    told.push(Object.fromEntries(SHOWN.map((id) => [id, text(id)])));
  }
  return told;
}"""
"""What stands on the page at every moment of the play that is chosen."""


def chosen(page: Page, size: int = 0, length: int = 0, progress: int = 0) -> None:
    """The choices of these numbers made, as far as the page has them."""
    for name, value in (("wheel-size", size), ("stick-length", length), ("progress", progress)):
        page.evaluate(
            "([id, value]) => { const one = document.getElementById(id); one.value = value;"
            " one.dispatchEvent(new Event('change')); }",
            [name, str(value)],
        )


def walked(page: Page, size: int = 0, length: int = 0, progress: int = 0) -> list[dict[str, str]]:
    """Every moment, as the page shows it, with the choices of these numbers."""
    chosen(page, size, length, progress)
    found = page.evaluate(WALK, list(SHOWN))
    assert isinstance(found, list)
    return found
