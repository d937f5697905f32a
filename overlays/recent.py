"""A small store of what was made last, so that memory stays bounded however long a film is."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Hashable
from typing import Generic, TypeVar

K = TypeVar("K", bound=Hashable)
V = TypeVar("V")


class Recent(Generic[K, V]):
    """At most ``most`` values; the one that was not asked for longest goes first."""

    def __init__(self, most: int) -> None:
        self._most = most
        self._values: OrderedDict[K, V] = OrderedDict()

    def __len__(self) -> int:
        return len(self._values)

    def get(self, key: K, make: Callable[[], V]) -> V:
        """The value of ``key``, made now if it is not there."""
        if key not in self._values:
            self._values[key] = make()
            while len(self._values) > self._most:
                self._values.popitem(last=False)
        self._values.move_to_end(key)
        return self._values[key]
