"""Programs of others that tests hold ours against: the interpreter, the browser, the readers of what it prints."""

from __future__ import annotations

import os
import shutil
from functools import cache
from typing import NoReturn

import pytest

PACKAGES = {
    "rs274": "linuxcnc-uspace",
    "chromium": "chromium",
    "fc-list": "fontconfig",
    "pdfinfo": "poppler-utils",
    "pdftotext": "poppler-utils",
}
"""The Debian package that brings each."""


def outside(name: str) -> str:
    """``name``, to be run; without it the test is left out, or fails where ``DRESSBLOCK_JUDGES`` is ``required``."""
    if not _found(name):
        leave_out(f"{name} is not installed; Debian has it in the package {PACKAGES[name]}")
    return name


def leave_out(why: str) -> NoReturn:
    """Leaves a test out on a machine that lacks something, or fails where ``DRESSBLOCK_JUDGES`` is ``required``."""
    if os.environ.get("DRESSBLOCK_JUDGES") == "required":
        pytest.fail(why)
    # on a fresh machine the README's test command must do without; .ci/run installs them all
    pytest.skip(why)


@cache
def _found(name: str) -> bool:
    return shutil.which(name) is not None
