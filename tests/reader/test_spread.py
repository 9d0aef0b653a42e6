"""A list that is written out in part does what a list does."""

from __future__ import annotations

from collections.abc import Callable

from hypothesis import given
from hypothesis import strategies as st

from gen.reader.spread import Spread, Stretch, backwards

PARTS = st.lists(st.tuples(st.booleans(), st.lists(st.integers(), min_size=1, max_size=40)), max_size=6)


def writer(items: list[int], asked: list[int]) -> Callable[[int, int], list[int]]:
    def written(first: int, stop: int) -> list[int]:
        assert 0 <= first < stop <= len(items)
        asked.append(stop - first)
        return items[first:stop]

    return written


def made(parts: list[tuple[bool, list[int]]], asked: list[int]) -> tuple[Spread[int], list[int]]:
    spread, plain = Spread[int](), list[int]()
    for deferred, items in parts:
        plain += items
        if deferred:
            spread.defer(Stretch(len(items), writer(items, asked)))
        else:
            spread.extend(items)
    return spread, plain


@given(PARTS, st.data())
def test_it_is_the_list_it_stands_for(parts: list[tuple[bool, list[int]]], data: st.DataObject) -> None:
    spread, plain = made(parts, [])
    assert list(spread) == plain
    assert spread == plain
    assert spread != [*plain, 0]
    assert list(reversed(spread)) == plain[::-1]
    assert [spread[at] for at in range(-len(plain), len(plain))] == plain * 2
    which = data.draw(st.slices(len(plain)))
    assert spread[which] == plain[which]


@given(PARTS, st.data())
def test_it_is_looked_at_from_any_place_in_either_direction(
    parts: list[tuple[bool, list[int]]], data: st.DataObject
) -> None:
    spread = Spread[int]()
    plain: list[tuple[int, int]] = []
    for deferred, items in parts:
        kind = data.draw(st.sampled_from("XY"))
        if deferred:
            spread.defer(Stretch(len(items), writer(items, []), (kind,)))
        else:
            spread.extend(items)
        plain += [(len(plain) + at, one) for at, one in enumerate(items)] if not deferred or kind == "X" else []
        plain += [(-1, one) for one in items] if deferred and kind == "Y" else []
    place = data.draw(st.integers(0, len(plain)))
    assert list(spread.starting(place)) == [spread[at] for at in range(place, len(spread))]
    assert list(backwards(spread, place, {"X"})) == [one for one in reversed(plain[:place]) if one[0] >= 0]


@given(PARTS, st.data())
def test_it_grows_and_shrinks_at_its_end(parts: list[tuple[bool, list[int]]], data: st.DataObject) -> None:
    spread, plain = made(parts, [])
    for _ in range(data.draw(st.integers(0, len(plain)))):
        assert spread.pop() == plain.pop()
        assert spread == plain
    spread.append(7)
    assert spread == [*plain, 7]


def test_nothing_is_written_out_that_nobody_asks_for() -> None:
    asked: list[int] = []
    spread, plain = made([(True, [1, 2]), (False, [3]), (True, [4])], asked)
    assert (len(spread), spread[2], asked) == (4, 3, [])
    assert (spread[1], spread[0], asked) == (2, 1, [2])
    assert spread[3:] == plain[3:]
    assert asked == [2, 1]
