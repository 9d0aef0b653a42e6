"""Frozen data classes share their methods; they are equal, counted and shown as the standard library's are."""

from __future__ import annotations

import dataclasses
from dataclasses import field, replace
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from gen.base.dataclass import dataclass

NUMBERS = st.integers(0, 2) | st.sampled_from([0.0, -0.0, 1.5])


@dataclass(frozen=True)
class Shared:
    first: float
    second: float = 2
    aside: float = field(default=0, compare=False)
    unseen: float = field(default=0, repr=False)
    uncounted: float = field(default=0, hash=False)


@dataclasses.dataclass(frozen=True)
class Own:
    first: float
    second: float = 2
    aside: float = field(default=0, compare=False)
    unseen: float = field(default=0, repr=False)
    uncounted: float = field(default=0, hash=False)


@dataclass(frozen=True)
class One:
    only: float


@dataclasses.dataclass(frozen=True)
class OneOwn:
    only: float


@given(st.lists(NUMBERS, min_size=5, max_size=5), st.lists(NUMBERS, min_size=5, max_size=5))
def test_they_are_equal_counted_and_shown_alike(one: list[Any], other: list[Any]) -> None:
    ours, theirs = (Shared(*one), Shared(*other)), (Own(*one), Own(*other))
    assert (ours[0] == ours[1]) is (theirs[0] == theirs[1])
    assert (hash(ours[0]) == hash(ours[1])) is (hash(theirs[0]) == hash(theirs[1]))
    assert repr(ours[0]) == repr(theirs[0]).replace("Own", "Shared")
    assert replace(ours[0], first=7.0).first == 7.0
    another_class: object = theirs[0]
    assert ours[0] != another_class


@given(NUMBERS, NUMBERS)
def test_so_are_those_of_one_field(one: Any, other: Any) -> None:
    assert (One(one) == One(other)) is (OneOwn(one) == OneOwn(other))
    assert (hash(One(one)) == hash(One(other))) is (hash(OneOwn(one)) == hash(OneOwn(other)))


def test_a_method_of_a_class_s_own_stays_its_own_and_one_that_compares_by_itself_does() -> None:
    @dataclass(frozen=True)
    class Told:
        name: str

        def __repr__(self) -> str:
            return f"<{self.name}>"

    @dataclass(frozen=True, eq=False)
    class Itself:
        name: str

    assert repr(Told("a")) == "<a>"
    assert Told("a") == Told("a")
    assert Itself("a") != Itself("a")
    assert repr(Itself("a")).endswith("Itself(name='a')")
