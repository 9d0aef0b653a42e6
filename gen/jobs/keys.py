"""The keys of the files a shop writes, as their models describe them, for reading and as data."""

from __future__ import annotations

import json
import textwrap
from collections.abc import Callable, Iterator, Sequence
from dataclasses import asdict, replace
from typing import Any

from gen.base.dataclass import dataclass
from gen.base.errors import listed, not_found
from gen.base.quantities import QUANTITY_KEYWORD
from gen.dressers import KINDS
from gen.jobs.report import WIDTH, described
from gen.jobs.schemas import DOCUMENTS, DocumentKind, schema_of

ANY_NAME = "*"
"""What stands in a table's name for a name of the shop's own, such as an axis' letter."""


@dataclass(frozen=True, slots=True)
class Key:
    """One key of a ``file``: machine, recipe or control.

    ``table`` is the dotted name of the table it stands in, "" at the top, and ``name`` the key with its table:
    ``dresser.clearance``. ``unit`` is that of the value as it is worked with, None for none. ``default`` is None where
    there is none, as for a key that is ``required``. ``only`` says for which kind of dresser the key is, where not for
    all.
    """

    file: str
    table: str
    key: str
    name: str
    required: bool
    unit: str | None
    default: Any
    meaning: str
    values: str
    example: Any
    only: str | None = None


def all_keys() -> list[Key]:
    """Every key of machine, recipe and control, in the order in which the models have them."""
    return [key for file in DOCUMENTS for key in _in_file(file)]


def keys_named(name: str | None) -> list[Key]:
    """The keys called ``name``, with or without their table, or all that stand in the table of that name.

    All keys where ``name`` is None; :class:`DressblockError` with the nearest name where there is none of it.
    """
    known = all_keys()
    if name is None:
        return known
    asked = name.strip("[]")
    for matches in (
        [key for key in known if _same(key.name, asked) or _same(key.table, asked)],
        [key for key in known if key.key == asked],
    ):
        if matches:
            return matches
    names = dict.fromkeys([*(key.name for key in known), *(key.key for key in known), *(key.table for key in known)])
    raise not_found("key", name, filter(None, names), "dressblock keys")


def _same(name: str, asked: str) -> bool:
    """Whether ``asked`` is ``name``, in which ``*`` stands for any part."""
    parts, wanted = name.split("."), asked.split(".")
    return len(parts) == len(wanted) and all(part in (ANY_NAME, want) for part, want in zip(parts, wanted, strict=True))


def keys_as_objects(keys: Sequence[Key]) -> list[dict[str, Any]]:
    """``keys`` as JSON objects."""
    return [asdict(key) for key in keys]


def keys_as_text(keys: Sequence[Key], *, whole: bool) -> str:
    """``keys`` for reading: a line each below their tables, or ``whole`` all that is known of each."""
    if whole:
        return "\n\n".join(map(_described, keys))
    width = max(len(key.key) for key in keys) + 2
    lines: list[str] = []
    table = ("", "")
    for key in keys:
        if (key.file, key.table) != table:
            table = key.file, key.table
            lines += ["", f"{key.file}  [{key.table}]" if key.table else f"{key.file}, at the top"]
        first = f"  {key.key.ljust(width)}"
        lines.append(textwrap.fill(_in_short(key), WIDTH, initial_indent=first, subsequent_indent=" " * len(first)))
    return "\n".join(lines[1:])


def _in_short(key: Key) -> str:
    notes = [
        f"only {key.only}" if key.only else "",
        "must be given" if key.required else "",
        "" if key.default in (None, "") else f"default {_written(key.default)}",
    ]
    told = "; ".join(filter(None, notes))
    return f"{key.meaning} ({told})" if told else key.meaning


def _described(key: Key) -> str:
    head = f"{key.file}  [{key.table}]" if key.table else f"{key.file}, at the top"
    default = "must be given" if key.required else "none" if key.default is None else _written(key.default)
    parts = [
        ("meaning", key.meaning),
        ("values", key.values),
        ("unit", key.unit),
        ("default", default),
        ("example", "" if key.example is None else f"{key.key} = {_written(key.example)}"),
        ("only", key.only),
    ]
    return f"{key.name}  ({head})\n{described((name, text) for name, text in parts if text)}"


def _written(value: Any) -> str:
    """``value`` as TOML has it."""
    match value:
        case dict():
            return f"{{ {', '.join(f'{name} = {_written(inner)}' for name, inner in value.items())} }}"
        case list():
            return f"[{', '.join(map(_written, value))}]"
        case _:
            return json.dumps(value, ensure_ascii=False)


# -- from the JSON Schema that the models give


def _in_file(file: DocumentKind) -> Iterator[Key]:
    """The keys of ``file``; one that several kinds of dresser have alike comes once, with those that have it."""
    owners: list[tuple[Key, list[str]]] = []
    for key, kind in _in_document(schema_of(file)):
        same = next((kinds for known, kinds in owners if known == key), None)
        if same is None:
            owners.append((key, [kind]))
        else:
            same.append(kind)
    for key, kinds in owners:
        some = kinds[0] and len(kinds) < len(KINDS)
        yield replace(key, file=file, only=listed(kinds) if some else None)


def _in_document(document: dict[str, Any]) -> Iterator[tuple[Key, str]]:
    """Each key with the kind of dresser that it was found with, "" outside ``[dresser]``."""
    definitions = document.get("$defs", {})
    kinds = {kind.__name__: kind.NAME for kind in KINDS}

    def within(model: dict[str, Any], table: str, kind: str) -> Iterator[tuple[Key, str]]:
        properties, required = model["properties"], model.get("required", ())
        for key, value in properties.items():
            # where a table's own sentence is the key's as well, it stands with the table only
            meaning = value.get("description") or definitions[value["$ref"].rpartition("/")[2]]["description"]
            yield _key(table, key, {**value, "description": meaning}, required=key in required), kind
        for key, value in properties.items():
            for name, below in dict.fromkeys(_tables(value)):
                where = ".".join(part for part in (table, key, below) if part)
                yield from within(definitions[name], where, kinds.get(name, kind))

    yield from within(document, "", "")


def _key(table: str, key: str, value: dict[str, Any], *, required: bool) -> Key:
    quantities = [one[QUANTITY_KEYWORD] for one in _simple(value) if QUANTITY_KEYWORD in one]
    return Key(
        file="",
        table=table,
        key=key,
        name=f"{table}.{key}" if table else key,
        required=required,
        unit=" or ".join(dict.fromkeys(one["unit"] for one in quantities)) or None,
        default=value.get("default"),
        meaning=value["description"],
        values=_values(value),
        example=next(iter(value.get("examples", ())), None),
    )


_BRANCHES = ("anyOf", "oneOf", "allOf", "prefixItems")


def _parts(value: dict[str, Any]) -> Iterator[dict[str, Any]]:
    """The schemas of which ``value`` is put together: its choices, its items, what stands under a condition."""
    for branch in _BRANCHES:
        yield from value.get(branch, ())
    for branch in ("then", "else", "items"):
        if isinstance(value.get(branch), dict):
            yield value[branch]


def _simple(value: dict[str, Any]) -> Iterator[dict[str, Any]]:
    """``value`` and every schema inside it, tables aside."""
    yield value
    for part in _parts(value):
        yield from _simple(part)


def _tables(value: dict[str, Any]) -> Iterator[tuple[str, str]]:
    """The models of the tables that ``value`` may be, each with what stands behind the key in the table's name."""
    for one in _simple(value):
        if "$ref" in one:
            yield one["$ref"].rpartition("/")[2], ""
        for named in (*one.get("patternProperties", {}).values(), one.get("additionalProperties")):
            if isinstance(named, dict):
                yield from ((name, ANY_NAME) for name, _ in _tables(named))


def _values(value: dict[str, Any]) -> str:
    """What ``value`` allows, in words."""
    if "$ref" in value:
        return "a table"
    if "enum" in value or "const" in value:
        return listed(_written(one) for one in value.get("enum", [value.get("const")]))
    if QUANTITY_KEYWORD in value:
        quantity = value[QUANTITY_KEYWORD]
        return _limited(f"{quantity['noun']} with its unit", quantity, quantity["unit"])
    if "prefixItems" in value:
        first, second = (_values(one) for one in value["prefixItems"])
        return f"a list of two, each {first}" if first == second else f"a list of {first}, and {second}"
    if "if" in value:
        return f"{_values(value['else'])}; or a list of such"
    if "properties" in value:
        return "a table"
    if "anyOf" in value:
        return listed(dict.fromkeys(_values(one) for one in value["anyOf"] if one.get("type") != "null"))
    return _of_type(value)


def _of_type(value: dict[str, Any]) -> str:
    kinds = value["type"] if isinstance(value["type"], list) else [value["type"]]
    return listed(_NAMED[kind](value) for kind in kinds)


_LIMITS = {
    "above": "more than",
    "least": "at least",
    "most": "at most",
    "exclusiveMinimum": "more than",
    "minimum": "at least",
    "maximum": "at most",
}
"""What limits a quantity, and what limits a plain number, in words."""


def _limited(noun: str, limits: dict[str, Any], unit: str = "") -> str:
    told = [f"{word} {limits[name]} {unit}".strip() for name, word in _LIMITS.items() if limits.get(name) is not None]
    return f"{noun}, {' and '.join(told)}" if told else noun


def _text(value: dict[str, Any]) -> str:
    return f"text that matches {value['pattern']}" if "pattern" in value else "text"


_NAMED: dict[str, Callable[[dict[str, Any]], str]] = {
    "boolean": lambda _: "true or false",
    "integer": lambda value: _limited("a whole number", value),
    "number": lambda value: _limited("a number", value),
    "string": _text,
    "array": lambda value: f"a list, each {_values(value['items'])}",
    "object": lambda _: "a table",
}
