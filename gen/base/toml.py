"""Tables written as TOML: what ``tomllib`` reads, which the standard library cannot write."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from decimal import Decimal
from typing import Any

_BARE = re.compile(r"[A-Za-z0-9_-]+")


def as_toml(tables: Mapping[str, Any]) -> str:
    """``tables`` as TOML text; read again they are the same.

    Strings, whole numbers, decimals, truth values, lists and tables, as a recipe
    or machine file has them; ``TypeError`` for anything else.
    """
    return "\n".join(_lines(tables, "")).strip("\n") + "\n"


def _lines(table: Mapping[str, Any], name: str) -> Iterator[str]:
    """The plain values of ``table`` first, for a key behind a table's head would belong to that table."""
    tables = {key: value for key, value in table.items() if isinstance(value, Mapping)}
    several = {key: value for key, value in table.items() if _is_tables(value)}
    for key, value in table.items():
        if key not in tables and key not in several:
            yield f"{_key(key)} = {_value(value)}"
    for key, value in tables.items():
        yield from ("", f"[{name}{_key(key)}]", *_lines(value, f"{name}{_key(key)}."))
    for key, value in several.items():
        for one in value:
            yield from ("", f"[[{name}{_key(key)}]]", *_lines(one, f"{name}{_key(key)}."))


def _is_tables(value: object) -> bool:
    return isinstance(value, list) and bool(value) and all(isinstance(one, Mapping) for one in value)


def _key(key: str) -> str:
    return key if _BARE.fullmatch(key) else _text(key)


def _text(text: str) -> str:
    # a basic string of TOML is a string of JSON, except that JSON leaves DEL as it is
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")


def _value(value: object) -> str:
    match value:
        case bool():
            return "true" if value else "false"
        case int():
            return str(value)
        case Decimal() | float():
            text = f"{Decimal(str(value)):f}"
            return text if "." in text else f"{text}.0"
        case str():
            return _text(value)
        case list() | tuple():
            return f"[{', '.join(map(_value, value))}]"
        case Mapping():
            return f"{{ {', '.join(f'{_key(key)} = {_value(one)}' for key, one in value.items())} }}"
    raise TypeError(f"{type(value).__name__} cannot be written as TOML")
