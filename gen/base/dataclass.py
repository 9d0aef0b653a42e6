"""The standard library's ``dataclass``, without the methods that it writes and compiles for each frozen class.

There are two hundred such classes, and most of a short run would go by with
that. Here they share one text for each method; type checking alone holds that
nobody sets a field.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from dataclasses import dataclass as dataclass
else:
    import dataclasses
    from operator import attrgetter

    def dataclass(cls=None, /, *, frozen=False, eq=True, **options):
        """As ``dataclasses.dataclass``."""

        def made(cls):
            if not frozen:
                return dataclasses.dataclass(cls, eq=eq, **options)
            own = set(vars(cls))
            cls = dataclasses.dataclass(cls, eq=False, repr=False, **options)
            methods = {"__repr__": _shown, "__eq__": _equals, "__hash__": _hashed}
            for name, method in methods.items():
                if name not in own and (eq or name == "__repr__"):
                    setattr(cls, name, method)
            fields = dataclasses.fields(cls)
            cls._compared = _values([one.name for one in fields if one.compare])
            cls._counted = _values([one.name for one in fields if (one.compare if one.hash is None else one.hash)])
            return cls

        return made if cls is None else made(cls)

    def _values(names):
        """What makes a tuple of the fields of those ``names``."""
        if len(names) > 1:
            return attrgetter(*names)
        return lambda one: tuple(getattr(one, name) for name in names)

    def _equals(self, other):
        if other.__class__ is not self.__class__:
            return NotImplemented
        values = self.__class__._compared
        return values(self) == values(other)

    def _hashed(self):
        return hash(self.__class__._counted(self))

    def _shown(self):
        shown = (f"{one.name}={getattr(self, one.name)!r}" for one in dataclasses.fields(self) if one.repr)
        return f"{self.__class__.__qualname__}({', '.join(shown)})"
