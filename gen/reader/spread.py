"""A list, stretches of which are written out only while somebody looks at them.

What a million plain lines do would fill a computer's memory as steps, and most
of it nobody ever asks for.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterable, Iterator, Sequence, Set
from itertools import islice
from typing import Generic, TypeAlias, TypeVar, overload

from gen.base.dataclass import dataclass

_T = TypeVar("_T")


_IN_A_ROW = 1000
"""Items written out at a time for whoever looks at all of them."""

_BESIDE = 16
"""Items written out at a time for whoever asks for one: who asks for one asks for its neighbours next."""


@dataclass(frozen=True, slots=True)
class Stretch(Generic[_T]):
    """``count`` items; ``written`` gives those from one number up to another, the same ones whenever it is called.

    What is often asked can be told without: ``kinds``, the axes that each move moves, or the groups of which each line
    changes the mode. ``columns`` have what each item says for itself, and ``basis`` what that means: items of two
    stretches that say the same on one basis differ as their neighbours do, if at all. A ``basis`` of None: nothing is
    told of this.
    """

    count: int
    written: Callable[[int, int], list[_T]]
    kinds: tuple[str, ...] = ()
    basis: object = None
    columns: tuple[Sequence[object], ...] = ()

    def __len__(self) -> int:
        return self.count

    def __iter__(self) -> Iterator[_T]:
        return self.starting(0)

    def says(self, first: int, other: Stretch[_T], there: int, count: int) -> bool:
        """Whether ``count`` items from ``first`` on say the same as those of ``other`` from ``there`` on."""
        if self.basis is None or self.basis != other.basis:
            return False
        both = zip(self.columns, other.columns, strict=True)
        return all(ours[first : first + count] == theirs[there : there + count] for ours, theirs in both)

    def starting(self, first: int) -> Iterator[_T]:
        """The items from number ``first`` on."""
        for begin in range(first, self.count, _IN_A_ROW):
            yield from self.written(begin, min(begin + _IN_A_ROW, self.count))


class Spread(Sequence[_T]):
    """Items some of which are kept and some written out when asked for; it grows, and shrinks, at its end."""

    def __init__(self, items: Iterable[_T] = ()) -> None:
        self._parts: list[list[_T] | Stretch[_T]] = []
        self._starts: list[int] = []
        self._count = 0
        self._shown: tuple[int, list[_T]] = 0, []
        self.extend(items)

    def append(self, item: _T) -> None:
        last = self._parts[-1] if self._parts else None
        if isinstance(last, list):
            last.append(item)
            self._count += 1
        else:
            self.extend((item,))

    def extend(self, items: Iterable[_T]) -> None:
        last = self._parts[-1] if self._parts else None
        kept = last if isinstance(last, list) else []
        if kept is not last:
            self._begin(kept)
        before = len(kept)
        kept.extend(items)
        self._count += len(kept) - before

    def defer(self, stretch: Stretch[_T]) -> None:
        """The next items are those of ``stretch``."""
        self._begin(stretch)
        self._count += stretch.count

    def _begin(self, part: list[_T] | Stretch[_T]) -> None:
        self._parts.append(part)
        self._starts.append(self._count)

    def pop(self) -> _T:
        """Takes the last item away."""
        last = self._parts[-1]
        if not isinstance(last, list):
            last = self._parts[-1] = last.written(0, last.count)
            self._shown = 0, []
        item = last.pop()
        if not last:
            self._parts.pop()
            self._starts.pop()
        self._count -= 1
        return item

    def __len__(self) -> int:
        return self._count

    def __iter__(self) -> Iterator[_T]:
        return self.starting(0)

    def pieces(self) -> Iterator[list[_T] | Stretch[_T]]:
        """The items as they are kept."""
        return iter(self._parts)

    def piece_at(self, number: int) -> tuple[list[_T] | Stretch[_T], int]:
        """The piece in which item ``number`` is kept, and its number there."""
        at = bisect_right(self._starts, number) - 1
        return self._parts[at], number - self._starts[at]

    def starting(self, first: int) -> Iterator[_T]:
        """The items from number ``first`` on."""
        place = max(0, bisect_right(self._starts, first) - 1)
        for at in range(place, len(self._parts)):
            part, skipped = self._parts[at], first - self._starts[at] if at == place else 0
            yield from islice(part, skipped, None) if isinstance(part, list) else part.starting(skipped)

    @overload
    def __getitem__(self, which: int) -> _T: ...

    @overload
    def __getitem__(self, which: slice) -> list[_T]: ...

    def __getitem__(self, which: int | slice) -> _T | list[_T]:
        if isinstance(which, slice):
            numbers = range(self._count)[which]
            if numbers.step != 1:
                return [self[number] for number in numbers]
            return list(islice(self.starting(numbers.start), len(numbers)))
        number = range(self._count)[which]
        part, place = self.piece_at(number)
        if isinstance(part, list):
            return part[place]
        if not 0 <= number - self._shown[0] < len(self._shown[1]):
            begin = place // _BESIDE * _BESIDE
            self._shown = number - place + begin, part.written(begin, min(begin + _BESIDE, part.count))
        return self._shown[1][number - self._shown[0]]

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, (list, Spread)):
            return NotImplemented
        return len(self) == len(other) and all(ours == theirs for ours, theirs in zip(self, other, strict=True))


Items: TypeAlias = list[_T] | Spread[_T]


def pieces(items: Items[_T]) -> Iterator[list[_T] | Stretch[_T]]:
    """``items`` in the pieces in which they are kept."""
    return items.pieces() if isinstance(items, Spread) else iter((items,))


def backwards(items: Items[_T], stop: int, kinds: Set[str]) -> Iterator[tuple[int, _T]]:
    """The items before number ``stop`` with their numbers, the last first; no stretch that has none of ``kinds``."""
    end = len(items)
    for part in reversed(list(pieces(items))):
        start = end - len(part)
        last, end = min(end, stop) - start, start
        if isinstance(part, list):
            yield from ((start + at, part[at]) for at in range(last - 1, -1, -1))
        elif last > 0 and not kinds.isdisjoint(part.kinds):
            for stops in range(last, 0, -_BESIDE):
                begin = max(0, stops - _BESIDE)
                yield from zip(
                    range(start + stops - 1, start + begin - 1, -1),
                    reversed(part.written(begin, stops)),
                    strict=True,
                )


def extended(items: Items[_T], more: Items[_T], part: slice) -> Items[_T]:
    """``items``, grown by that ``part`` of ``more``."""
    if isinstance(items, list) and isinstance(more, list):
        items += more[part]
        return items
    whole = items if isinstance(items, Spread) else Spread(items)
    at = 0
    for piece in pieces(more):
        count = len(piece)
        low, high = max(0, part.start - at), min(count, part.stop - at)
        at += count
        if low >= high:
            continue
        if isinstance(piece, list):
            whole.extend(piece[low:high])
        elif high - low == count:
            whole.defer(piece)
        else:
            whole.extend(piece.written(low, high))
    return whole


def abreast(ours: Items[_T], run: range, theirs: Items[_T], there: range) -> Iterator[tuple[_T, _T]]:
    """The items numbered ``run`` beside those of the other list numbered ``there``, until either run ends.

    Of items in a row that say the same on one basis only the first two: the others differ as these do, if at all.
    """
    both = (ours, run.start), (theirs, there.start)
    at, end = 0, min(len(run), len(there), *(len(items) - start for items, start in both))
    while at < end:
        (one, first), (other, second) = (_piece_at(items, start + at) for items, start in both)
        count = min(len(one) - first, len(other) - second, end - at)
        if isinstance(one, Stretch) and isinstance(other, Stretch) and one.says(first, other, second, count):
            yield one.written(first, first + 1)[0], other.written(second, second + 1)[0]
        else:
            mine, others = (between(items, start + at, start + at + count) for items, start in both)
            yield from zip(mine, others, strict=True)
        at += count


def _piece_at(items: Items[_T], number: int) -> tuple[list[_T] | Stretch[_T], int]:
    """The piece in which item ``number`` is kept, and its number there."""
    return items.piece_at(number) if isinstance(items, Spread) else (items, number)


def between(items: Items[_T], start: int, stop: int) -> Iterator[_T]:
    """The items from number ``start`` up to ``stop``, one after the other."""
    return islice(items.starting(start), max(0, stop - start)) if isinstance(items, Spread) else iter(items[start:stop])
