"""Where the data folders lie: inside the installed package, or beside it in a checkout."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Literal

import gen
from gen.base.errors import DressblockError


@cache
def data_folder(name: Literal["templates", "machines"]) -> Path:
    """The folder ``name`` that came with this package. :class:`DressblockError` if it was left out."""
    package = Path(gen.__file__).parent
    for place in (package / "_data" / name, package.parent / name):
        if place.is_dir():
            return place
    raise DressblockError(
        f"the folder {name} that belongs to this package is missing; install the package again.", file=package
    )
