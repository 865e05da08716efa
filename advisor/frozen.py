"""Frozen dataclasses that are quick to make.

The standard decorator writes and compiles seven methods for each frozen class, 0.6 ms apiece; a check needs 140 classes
before it can begin. Here the standard decorator compiles `__init__` alone, and all classes share the other methods.
"""

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from dataclasses import dataclass as dataclass
else:
    import dataclasses

    def dataclass(*, frozen, slots):
        """Stands for `dataclasses.dataclass(frozen=True, slots=True)`, the one form this project uses."""
        if not (frozen and slots):
            raise TypeError("write @dataclass(frozen=True, slots=True): data here do not change")
        return _frozen

    def _frozen(cls):
        for name, method in _SHARED.items():
            setattr(cls, name, method)
        return dataclasses.dataclass(eq=False, repr=False, slots=True)(cls)

    def _values(self):
        return [getattr(self, name) for name in self.__slots__]

    def _set_once(self, name, value):
        if hasattr(self, name):
            raise dataclasses.FrozenInstanceError(f"cannot assign to field {name!r}")
        object.__setattr__(self, name, value)

    def _refuse_delete(self, name):
        raise dataclasses.FrozenInstanceError(f"cannot delete field {name!r}")

    def _equal(self, other):
        return _values(self) == _values(other) if type(other) is type(self) else NotImplemented

    def _hash(self):
        return hash(tuple(_values(self)))

    def _text(self):
        shown = ", ".join(f"{name}={getattr(self, name)!r}" for name in self.__slots__)
        return f"{type(self).__qualname__}({shown})"

    _SHARED = {
        "__setattr__": _set_once,
        "__delattr__": _refuse_delete,
        "__eq__": _equal,
        "__hash__": _hash,
        "__repr__": _text,
    }
