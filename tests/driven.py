"""Debian's Chromium, driven."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from playwright.sync_api import Browser, sync_playwright

from outside import outside


@contextmanager
def browser() -> Iterator[Browser]:
    """Chromium without a window; without it, or what its driver is linked to, see :func:`outside.outside`."""
    outside("chromium")
    outside("atomic")
    with sync_playwright() as play:
        one = play.chromium.launch(executable_path="/usr/bin/chromium", args=["--no-sandbox"])
        yield one
        one.close()
