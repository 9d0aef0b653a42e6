"""What a user is told when input cannot be used: one sentence a problem, with file and key."""

from __future__ import annotations

import difflib
import json
from collections.abc import Callable, Iterable, Iterator, Sequence
from decimal import Decimal
from itertools import islice
from os import PathLike
from typing import TYPE_CHECKING, Any, NamedTuple, Self, TypeAlias, get_args, get_origin

if TYPE_CHECKING:
    from pydantic import BaseModel, ValidationError
    from pydantic.fields import FieldInfo

Where: TypeAlias = str | PathLike[str]

MOST_TOLD = 40
"""Problems of one file that are told at a time."""


class Problem(NamedTuple):
    """One thing that is wrong: the dotted key it is about (or ""), and a sentence."""

    key: str
    sentence: str


class DressblockError(Exception):
    """Unusable input or usage (exit 2). ``str()`` is what the user reads, one problem a line.

    ``file`` is the file it was read from and ``key`` the dotted key in it; ``problems`` are all that were found, and
    ``files`` names the file of each.
    """

    def __init__(self, sentence: str, *, file: Where | None = None, key: str = "") -> None:
        super().__init__(sentence)
        self._tell([Problem(key, sentence)], [file])

    def _tell(self, problems: Iterable[Problem], files: Iterable[Where | None]) -> Self:
        self.problems = tuple(problems)
        self.files = tuple("" if file is None else printable(str(file)) for file in files)
        return self

    @property
    def file(self) -> str:
        return self.files[0]

    @property
    def key(self) -> str:
        return self.problems[0].key

    @property
    def sentences(self) -> tuple[str, ...]:
        return tuple(_said(file, *problem) for file, problem in zip(self.files, self.problems, strict=True))

    def __str__(self) -> str:
        return "\n".join(self.sentences)

    def within(self, file: Where) -> DressblockError:
        """The same problems, said of ``file``; this error itself if it already names a file."""
        return self.where(lambda _: file)

    def where(self, file_of: Callable[[str], Where]) -> DressblockError:
        """The same problems, each said of the file that ``file_of`` gives for its key."""
        if self.file:
            return self
        return DressblockError(*self.args)._tell(self.problems, [file_of(key) for key, _ in self.problems])

    @classmethod
    def of(cls, problems: Iterable[Problem], *, file: Where | None = None) -> DressblockError:
        """One error for all ``problems``; at least one."""
        told = list(problems)
        return cls(told[0].sentence)._tell(told, [file] * len(told))


def _said(file: str, key: str, sentence: str) -> str:
    return ": ".join(part for part in (file, key, printable(sentence)) if part)


FAILURES = (DressblockError, OSError, RecursionError, MemoryError)
"""What can stop the work on one file, and never the work on others."""


def as_told(failure: Exception) -> DressblockError:
    """One of :data:`FAILURES` as what a user is told of it."""
    match failure:
        case DressblockError():
            return failure
        case OSError():
            why = (failure.strerror or str(failure)).lower()
            return DressblockError(f"this cannot be used: {why}.", file=failure.filename)
        case RecursionError():
            return DressblockError("this is nested too deeply to be worked on.")
        case _:
            return DressblockError("this is too large for the memory there is.")


class Disagreement(ValueError):
    """Keys of one table that do not go together; each problem names its key from that table on."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__(" ".join(f"{key}: {sentence}" for key, sentence in problems))


def printable(text: str) -> str:
    """``text`` with "?" for every character that a screen would obey rather than show."""
    if text.isprintable():
        return text
    return "".join(character if character.isprintable() else "?" for character in text)


def said(value: object) -> str:
    """``value`` the way a file would say it, short enough to stand in a sentence."""
    match value:
        case bool():
            return "true" if value else "false"
        case int():
            return str(value) if value.bit_length() < 64 else "a very large whole number"
        case Decimal() | float():
            return _shortened(str(value).lower())
        case str():
            return printable(json.dumps(_shortened(value), ensure_ascii=False))
        case list() | tuple():
            return "a list"
        case dict():
            return "a table"
        case _:
            return _shortened(str(value))


def _shortened(text: str) -> str:
    return text if len(text) <= 40 else text[:37] + "..."


def listed(words: Iterable[str], last: str = "or") -> str:
    """``a``, ``a or b``, ``a, b or c``."""
    *head, tail = words
    return f"{', '.join(head)} {last} {tail}" if head else tail


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known word most like ``word``, if one is near enough to be meant."""
    return next(iter(difflib.get_close_matches(word, list(known), n=1, cutoff=0.6)), None)


def not_found(what: str, name: str, known: Iterable[str], lists: str) -> DressblockError:
    """That there is no ``what`` called ``name``; ``lists`` is the command that names those ``known``."""
    near = nearest(name, known)
    meant = f" Did you mean {near}?" if near else ""
    return DressblockError(f"there is no {what} {said(name)}.{meant} {lists} lists them all.")


def explain(error: ValidationError, model: type[BaseModel], *, file: Where | None = None) -> DressblockError:
    """The first problems pydantic found in a ``model`` read from ``file``, as sentences with their keys."""
    found = problems(error, model)
    told = list(dict.fromkeys(islice(found, MOST_TOLD)))
    if next(found, None) is not None:
        told.append(Problem("", "there is more that is wrong; mend this first."))
    return DressblockError.of(told, file=file)


def problems(error: ValidationError, model: type[BaseModel], *, within: str = "") -> Iterator[Problem]:
    """What pydantic found in a ``model``, as sentences, with keys seen from the table ``within`` that it is."""
    return islice(_problems(error, model, within), MOST_TOLD + 1)


def _problems(error: ValidationError, model: type[BaseModel], within: str) -> Iterator[Problem]:
    for detail in error.errors(include_url=False):
        loc = tuple(part for part in detail["loc"] if part != "[key]")
        cause = detail.get("ctx", {}).get("error")
        if isinstance(cause, Disagreement):
            for key, sentence in cause.problems:
                yield Problem(_joined(_dotted(loc), key), sentence)
        elif detail["type"] == "missing" and isinstance(loc[-1], int):
            yield Problem(_dotted(loc[:-1]), f"a list of two values is wanted{_such_as(model, loc[:-1])}.")
        else:
            yield Problem(_dotted(loc), _sentence(detail["type"], detail, model, loc, within))


def _sentence(kind: str, detail: Any, model: type[BaseModel], loc: tuple[int | str, ...], within: str) -> str:
    context = detail.get("ctx", {})
    match kind:
        case "missing":
            what = "table" if _tables(model, loc) and not _such_as(model, loc) else "key"
            return f"this {what} is missing; it gives {_description(model, loc)}{_such_as(model, loc)}."
        case "extra_forbidden":
            return _unknown_key(str(loc[-1]), _tables(model, loc[:-1]), model)
        case "literal_error":
            return _refused(detail["input"], context["expected"].replace("'", '"'))
        case "value_error":
            return str(context["error"])
        case "too_short":
            return f"read a list of {context['actual_length']}; at least {context['min_length']} are wanted."
        case "too_long" if context["max_length"] != 2:
            return f"read a list of {context['actual_length']}; at most {context['max_length']} are possible."
        case "tuple_type" | "too_long":
            return f"a list of two values is wanted{_such_as(model, loc)}."
        case "list_type":
            return f"a list is wanted{_such_as(model, loc)}."
        case "dict_type" | "model_type" | "model_attributes_type":
            return f"a table is wanted here, with its keys below a line [{_joined(within, _dotted(loc))}]."
        case "string_type":
            return f"read {said(detail['input'])}; text in quotes is wanted{_such_as(model, loc)}."
        case "int_type" | "int_from_float" | "int_parsing" | "int_parsing_size":
            return f"read {said(detail['input'])}; a whole number is wanted{_such_as(model, loc)}."
        case "bool_type" | "bool_parsing":
            return f"read {said(detail['input'])}; true or false is wanted, without quotes."
        case "greater_than_equal":
            return f"read {said(detail['input'])}; it must be at least {context['ge']}."
        case "less_than_equal":
            return f"read {said(detail['input'])}; it must be at most {context['le']}."
        case "string_pattern_mismatch":
            return f"read {said(detail['input'])}, which does not have the right form{_such_as(model, loc)}."
        case _:
            message = str(detail["msg"])
            return f"read {said(detail['input'])}; {message[:1].lower()}{message[1:]}."


def _unknown_key(key: str, tables: list[type[BaseModel]], model: type[BaseModel]) -> str:
    if homes := list(dict.fromkeys(_homes(model, key))):
        return f"this key is not known here; it belongs in {listed(homes)}."
    known = list(dict.fromkeys(name for table in tables for name in _keys(table)))
    near = nearest(key, known)
    if near is not None:
        return f'this key is not known; the nearest known one is "{near}".'
    return f"this key is not known; the keys known here are {listed(known, 'and')}."


def _homes(model: type[BaseModel], key: str, above: tuple[str, ...] = ()) -> Iterator[str]:
    """The tables below ``model``, as a file's lines name them, that have ``key``."""
    if key in _keys(model):
        yield f"[{'.'.join(above)}]" if above else "the top of the file, above every line in brackets"
    for name in _keys(model):
        for table in dict.fromkeys(_tables(model, (name,))):
            yield from _homes(table, key, (*above, name))


def not_a_choice(read: object, choices: Iterable[str]) -> str:
    """Why ``read`` cannot stand where one of ``choices`` must."""
    return _refused(read, listed(f'"{choice}"' for choice in choices))


def _refused(read: object, choices: str) -> str:
    near = isinstance(read, str) and nearest(read.lower(), choices.replace('"', "").replace(" or ", ", ").split(", "))
    hint = f'; did you mean "{near}"?' if near else "."
    return f"read {said(read)}; it must be {choices}{hint}"


def _joined(outer: str, key: str) -> str:
    return ".".join(part for part in (outer, key) if part)


def _dotted(loc: Iterable[int | str]) -> str:
    keys = (f"[{part}]" if isinstance(part, int) else f".{_shortened(part)}" for part in loc)
    return printable("".join(keys).lstrip("."))


def _description(model: type[BaseModel], loc: Sequence[int | str]) -> str:
    field = _field(model, loc)
    text = str(getattr(field, "description", "") or "what the table needs").rstrip(".")
    return text if text[1:2].isupper() else text[:1].lower() + text[1:]


def _such_as(model: type[BaseModel], loc: Sequence[int | str]) -> str:
    examples = getattr(_field(model, loc), "examples", None)
    if not examples:
        return ""
    return f", such as {loc[-1]} = {json.dumps(examples[0], ensure_ascii=False)}"


def _field(model: type[BaseModel], loc: Sequence[int | str]) -> object:
    for table in _tables(model, loc[:-1]):
        if loc[-1] in _keys(table):
            return _keys(table)[str(loc[-1])]
    return None


def _keys(table: type[BaseModel]) -> dict[str, FieldInfo]:
    """The fields of ``table`` by the key that a file gives them."""
    return {field.alias or name: field for name, field in table.model_fields.items()}


def _tables(model: Any, loc: Sequence[int | str]) -> list[type[BaseModel]]:
    """The models that may stand at ``loc`` below ``model``."""
    here = [model]
    for part in loc:
        here = [inner for one in here for inner in _inside(one, part)]
    found = [inner for one in here for table in _plain(one) for inner in (table, *_alone(table))]
    return [table for table in found if hasattr(table, "model_fields")]


def _alone(annotation: Any) -> tuple[Any, ...]:
    """What may stand in place of a list of itself."""
    return get_args(annotation)[:1] if get_origin(annotation) is tuple else ()


def _inside(annotation: Any, part: int | str) -> Iterator[Any]:
    for one in _plain(annotation):
        if hasattr(one, "model_fields"):
            if part in _keys(one):
                yield _keys(one)[str(part)].annotation
        elif get_origin(one) is dict:
            yield get_args(one)[1]
        elif get_args(one):
            yield get_args(one)[0]


def _plain(annotation: Any) -> list[Any]:
    """``annotation`` without ``Annotated``, and each branch of a union."""
    if hasattr(annotation, "__metadata__"):
        return _plain(annotation.__origin__)
    if get_origin(annotation) in (dict, tuple, list) or not get_args(annotation):
        return [annotation]
    return [inner for branch in get_args(annotation) for inner in _plain(branch)]
