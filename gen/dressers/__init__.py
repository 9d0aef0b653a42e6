"""The kinds of dresser: which there are, and which one a machine file's ``[dresser]`` asks for."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Any, TypeAlias, cast, get_args

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler, ValidationError
from pydantic_core import CoreSchema, core_schema

from gen.base.errors import Disagreement, Problem, not_a_choice, problems
from gen.base.fields import FieldError
from gen.dressers.datum_slide import DatumSlide
from gen.dressers.kind import Dresser
from gen.dressers.stand_off_slide import StandOffSlide
from gen.dressers.timed_feeder import TimedFeeder

KINDS: list[type[Dresser]] = [
    DatumSlide,
    StandOffSlide,
    TimedFeeder,
]
"""Every kind; of those with the same ``kind`` the key ``motion`` decides, the first one being the usual."""


def kind_for(table: dict[str, Any]) -> type[Dresser]:
    """The kind that ``table`` is about. :class:`Disagreement` where it names none that there is."""
    names = list(dict.fromkeys(name for kind in KINDS for name in choices(kind, "kind")))
    if "kind" not in table:
        raise Disagreement(
            [Problem("kind", f'this key is missing; it gives what moves the stick, such as kind = "{names[0]}".')]
        )
    named = table["kind"]
    of_that_name = [kind for kind in KINDS if named in choices(kind, "kind")]
    if not of_that_name:
        raise Disagreement([Problem("kind", not_a_choice(named, names))])
    if len(of_that_name) == 1 or "motion" not in table:
        return of_that_name[0]
    told = [kind for kind in of_that_name if table["motion"] in choices(kind, "motion")]
    if not told:
        motions = [motion for kind in of_that_name for motion in choices(kind, "motion")]
        raise Disagreement([Problem("motion", not_a_choice(table["motion"], motions))])
    return told[0]


def choices(kind: type[Dresser], key: str) -> tuple[str, ...]:
    """The values that ``key`` may have in ``kind``; empty where the kind has no such key."""
    field = kind.model_fields.get(key)
    return () if field is None else get_args(field.annotation)


class _ByKind:
    """Makes a field read a table as the kind of dresser that it asks for."""

    def read(self, value: Any) -> Dresser:
        if isinstance(value, Dresser):
            return value
        if not isinstance(value, dict):
            raise FieldError("a table is wanted here, with its keys below a line [dresser].")
        kind = kind_for(value)
        foreign = {problem.key: problem for problem in _foreign(kind, value)}
        found = list(foreign.values())
        try:
            read = kind.model_validate({key: inner for key, inner in value.items() if key not in foreign})
        except ValidationError as error:
            own = list(problems(error, kind, within="dresser"))
            # which keys there should be is open while the motion is
            found = own if any(problem.key == "motion" for problem in own) else [*found, *own]
        if found:
            raise Disagreement(found)
        return read

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(self.read)

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        """One kind's keys only, told by ``kind`` and ``motion``: a slip then shows once, not once for each kind."""
        found = handler(core_schema.union_schema([_schema_of(kind) for kind in KINDS]))
        names = [name for kind in KINDS for name in choices(kind, "kind")]
        return {
            "type": "object",
            "required": ["kind"],
            "properties": {"kind": {"enum": list(dict.fromkeys(names))}},
            "allOf": [{"if": _asked_for(kind), "then": one} for kind, one in zip(KINDS, found["anyOf"], strict=True)],
        }


def _schema_of(kind: type[Dresser]) -> CoreSchema:
    """What the tables of ``kind`` are held to, under its name."""
    kind.model_rebuild()
    return cast(CoreSchema, {**kind.__pydantic_core_schema__, "ref": kind.__name__})


def _foreign(kind: type[Dresser], table: dict[str, Any]) -> Iterator[Problem]:
    """The keys of ``table`` that only other kinds have."""
    for key in table:
        owner = next((other for other in KINDS if key in other.model_fields), None)
        if key in kind.model_fields or owner is None:
            continue
        said = f"{kind.LACKS}; take this key out."
        if not kind.LACKS:
            said = f"only {owner.NAME} has this key; take it out, or write {owner.WRITTEN}."
        yield Problem(key, said)


def _asked_for(kind: type[Dresser]) -> dict[str, Any]:
    """The JSON Schema of tables for which :func:`kind_for` gives ``kind``."""
    names = set(choices(kind, "kind"))
    rivals = [other for other in KINDS if other is not kind and names & set(choices(other, "kind"))]
    asked: dict[str, Any] = {"properties": {"kind": {"enum": sorted(names)}}, "required": ["kind"]}
    if all(KINDS.index(kind) < KINDS.index(other) for other in rivals):
        return {**asked, "not": {"anyOf": [_asked_for(other) for other in rivals]}} if rivals else asked
    motion = {"motion": {"enum": list(choices(kind, "motion"))}}
    return {"properties": {**asked["properties"], **motion}, "required": ["kind", "motion"]}


AnyDresser: TypeAlias = Annotated[Dresser, _ByKind()]
"""A field of a file that holds a dresser of any kind."""
