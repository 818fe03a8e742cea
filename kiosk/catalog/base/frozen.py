"""`dataclass` for frozen values with slots: as the library's, but `__init__` is compiled late.

A start defines some three hundred such classes and uses a few dozen. The library writes and
compiles six methods for each at once, which took a third of the whole start.
"""

import dataclasses
import sys
from functools import partial
from operator import attrgetter
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from dataclasses import dataclass as dataclass
else:

    def dataclass(cls=None, /, **how):
        """Do what `dataclasses.dataclass` does; calls with other options go to the library."""
        if how == {"frozen": True, "slots": True}:
            return _frozen
        return dataclasses.dataclass(cls, **how)


def _frozen(cls: type) -> type:
    """Return a copy of the class: the library finds the fields and makes slots of them."""
    own = set(vars(cls))
    copy: type = dataclasses.dataclass(init=False, repr=False, eq=False, slots=True)(cls)
    compared = _getter(each.name for each in dataclasses.fields(copy) if each.compare)
    hashed = _getter(
        each.name
        for each in dataclasses.fields(copy)
        if (each.compare if each.hash is None else each.hash)
    )

    def same(self: Any, other: Any) -> Any:
        if other.__class__ is not self.__class__:
            return NotImplemented
        return compared(self) == compared(other)

    methods: dict[str, Any] = {
        "__init__": _LateInit(copy),
        "__eq__": same,
        "__hash__": lambda self: hash(hashed(self)),
        **_METHODS,
    }
    for name, method in methods.items():
        if name not in own or (name == "__hash__" and getattr(cls, name) is None):
            setattr(copy, name, method)
    return copy


def _getter(names: Any) -> Any:
    """Return a function that returns the fields `names` of a value as a tuple."""
    fields = tuple(names)
    if not fields:
        return lambda self: ()
    return attrgetter(*fields) if len(fields) > 1 else attrgetter(*fields, *fields)


FEW = 8  # values of a class: up to here, setting the slots one by one is quicker


class _LateInit:
    """A stand-in for the `__init__` of `cls`, replaced by it once compiling that pays."""

    def __init__(self, cls: type) -> None:
        self._cls = cls
        self._calls = 0

    def __get__(self, instance: Any, owner: type) -> Any:
        self._calls += 1
        bound = instance is not None
        if bound and self._calls <= FEW and not isinstance(instance, type):
            return partial(self._set, instance)  # since 3.13 `inspect` passes a class as instance
        written = self._write()
        return written.__get__(instance) if bound else written

    def _write(self) -> Any:
        cls: Any = self._cls
        if isinstance(vars(cls)["__init__"], _LateInit):
            cls.__init__ = _compiled_init(cls)
        return cls.__init__

    def _set(self, instance: Any, /, *given: Any, **named: Any) -> None:
        """Set all fields; if the arguments do not fit, the compiled `__init__` raises."""
        fields = dataclasses.fields(self._cls)
        names = [each.name for each in fields if each.init]
        values = dict(zip(names, given, strict=False)) | named
        fits = len(values) == len(given) + len(named) and values.keys() <= set(names)
        for each in fields:
            if each.name in values:
                value = values[each.name]
            elif each.default is not dataclasses.MISSING:
                value = each.default
            elif each.default_factory is not dataclasses.MISSING:
                value = each.default_factory()
            else:
                fits = fits and not each.init
                continue
            object.__setattr__(instance, each.name, value)
        if not fits:
            self._write()(instance, *given, **named)
        if hasattr(instance, "__post_init__"):
            instance.__post_init__()


class _New:
    """A placeholder in a signature for a default that is made at each call."""

    def __repr__(self) -> str:
        return "<factory>"


def _compiled_init(cls: type) -> Any:
    """Compile the `__init__` of a class: it sets each slot, then calls `__post_init__`."""
    given = [each for each in dataclasses.fields(cls) if each.init]
    namespace: dict[str, Any] = {"_new": _New()}
    lines = [_line(each, cls, namespace) for each in dataclasses.fields(cls)]
    if hasattr(cls, "__post_init__"):
        lines.append("self.__post_init__()")
    head = ", ".join(["self", *map(_argument, given)])
    body = "\n  ".join(["pass", *filter(None, lines)])
    text = (
        f"def _write({', '.join(namespace)}):\n def __init__({head}):\n  {body}\n return __init__"
    )
    written: dict[str, Any] = {}
    exec(text, vars(sys.modules[cls.__module__]), written)
    init = written["_write"](**namespace)
    init.__qualname__ = f"{cls.__qualname__}.__init__"
    init.__annotations__ = {**{each.name: each.type for each in given}, "return": None}
    return init


def _argument(each: dataclasses.Field[Any]) -> str:
    if each.default is not dataclasses.MISSING:
        return f"{each.name}=_of_{each.name}"
    factory = each.default_factory is not dataclasses.MISSING
    return f"{each.name}=_new" if factory else each.name


def _line(each: dataclasses.Field[Any], cls: type, namespace: dict[str, Any]) -> str:
    """Return the line that sets a field's slot ("" if set elsewhere); add to `namespace`."""
    name, value = each.name, each.name if each.init else ""
    namespace[f"_set_{name}"] = getattr(cls, name).__set__
    if each.default is not dataclasses.MISSING:
        namespace[f"_of_{name}"] = each.default
        value = value or f"_of_{name}"
    elif each.default_factory is not dataclasses.MISSING:
        namespace[f"_make_{name}"] = each.default_factory
        fresh = f"_make_{name}()"
        value = f"{fresh} if {name} is _new else {name}" if value else fresh
    return value and f"_set_{name}(self, {value})"


def changer(cls: type) -> Any:
    """Return a function of a value and changed parts that returns a changed copy of the value.

    It fills the slots of an unfrozen class, then sets `__class__` to `cls`: a third of the time
    of calling `__init__`. Only for classes with slots whose fields are all `__init__` arguments.
    """
    own = {"__slots__": vars(cls)["__slots__"], "__setattr__": object.__setattr__}
    loose = type(f"_{cls.__name__}", cls.__bases__, own)
    lines = [f"new.{each.name} = old.{each.name}" for each in dataclasses.fields(cls)]
    lines += ["try:", "  for name in parts: setattr(new, name, parts[name])"]
    lines += ["except AttributeError as error: raise TypeError(name) from error"]
    lines += ["new.__class__ = cls", *["new.__post_init__()"][: hasattr(cls, "__post_init__")]]
    body = "\n ".join(["new = make(loose)", *lines, "return new"])
    written: dict[str, Any] = {"make": object.__new__, "loose": loose, "cls": cls}
    exec(f"def change(old, parts):\n {body}", written)
    return written["change"]


def _representation(self: Any) -> str:
    parts = (f"{f.name}={getattr(self, f.name)!r}" for f in dataclasses.fields(self) if f.repr)
    return f"{type(self).__qualname__}({', '.join(parts)})"


def _no_setting(self: Any, name: str, *_: object) -> None:
    raise dataclasses.FrozenInstanceError(f"cannot assign to field {name!r}")


def _state(self: Any) -> list[Any]:
    return [getattr(self, each.name) for each in dataclasses.fields(self)]


def _set_state(self: Any, state: list[Any]) -> None:
    for each, value in zip(dataclasses.fields(self), state, strict=True):
        object.__setattr__(self, each.name, value)


_METHODS = {
    "__repr__": _representation,
    "__setattr__": _no_setting,
    "__delattr__": _no_setting,
    "__getstate__": _state,
    "__setstate__": _set_state,
}
"""The methods that are the same for every class."""
