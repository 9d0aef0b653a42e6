"""The tables of a file with some keys changed, as the benches make their machines and recipes."""

from __future__ import annotations

from collections.abc import Mapping
from copy import deepcopy
from typing import Any


def changed(tables: Mapping[str, Any], changes: Mapping[str, Any] | None = None, /, **named: Any) -> dict[str, Any]:
    """A copy of ``tables`` with keys such as ``wheel.1.lane``, or named ``dress__plunge``, set (None: taken out).

    Tables on the way that are not there are put in.
    """
    copy = deepcopy(dict(tables))
    for key, value in {**(changes or {}), **{name.replace("__", "."): value for name, value in named.items()}}.items():
        *path, last = key.split(".")
        place: Any = copy
        for part in path:
            place = place[int(part)] if isinstance(place, list) else place.setdefault(part, {})
        at = int(last) if isinstance(place, list) else last
        place[at] = deepcopy(value)
        if value is None:
            del place[at]
    return copy
