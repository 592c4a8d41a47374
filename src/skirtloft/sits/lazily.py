"""A mapping that makes its values when they are first asked for: a rule on one curve does not wait for nine."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import TypeVar

Key = TypeVar("Key")
Value = TypeVar("Value")


class Lazily(Mapping[Key, Value]):
    """Values by key, each made once.

    Parameters
    ----------
    keys : tuple  in the order they are told
    make : callable  key -> value

    Examples
    --------
    >>> squares = Lazily((1, 2, 3), lambda k: k * k)
    >>> squares[3], list(squares.values())
    (9, [1, 4, 9])
    """

    def __init__(self, keys: tuple[Key, ...], make: Callable[[Key], Value]) -> None:
        self._keys, self._make = keys, make
        self._made: dict[Key, Value] = {}

    def __getitem__(self, key: Key) -> Value:
        if key not in self._made:
            if key not in self._keys:
                raise KeyError(key)
            self._made[key] = self._make(key)
        return self._made[key]

    def __iter__(self) -> Iterator[Key]:
        return iter(self._keys)

    def __len__(self) -> int:
        return len(self._keys)
