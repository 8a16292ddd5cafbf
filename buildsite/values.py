"""
`dataclass` for a program that starts often: the standard one without code generation.

The standard decorator compiles a constructor and comparisons for each class: 0.6 ms
each, a fifth of what `check` of one file took. These classes share one of each, at
0.04 ms a class. A class of which many are made, as in a build, has a constructor of its
own compiled then: it takes a quarter of the time. `fields`, `replace` and `asdict` of
`dataclasses` take them as their own. There are no slots and no order.
"""

from collections.abc import Callable, Mapping
from dataclasses import MISSING, FrozenInstanceError, fields
from dataclasses import dataclass as standard
from operator import itemgetter
from typing import TYPE_CHECKING, Any, TypeVar

if TYPE_CHECKING:  # a type checker sees what is meant: the standard decorator
    from dataclasses import dataclass as dataclass
else:

    def dataclass(
        cls: type | None = None, /, *, frozen: bool = False, eq: bool = True
    ) -> Any:
        """Make a data class, as the standard decorator would."""
        if cls is None:
            return lambda named: dataclass(named, frozen=frozen, eq=eq)
        cls.__doc__ = cls.__doc__ or cls.__name__  # or a signature is written for it
        standard(init=False, repr=False, eq=False)(cls)
        cls._shape, cls.__init__ = _Shape(cls), _init
        if "__repr__" not in vars(cls):
            cls.__repr__ = _repr
        if eq:
            cls.__eq__, cls.__hash__ = _eq, _hash if frozen else None
        if frozen:
            cls.__setattr__ = cls.__delattr__ = _refuse
        return cls


OFTEN = 200
"""Objects of a class after which a constructor of its own is worth compiling."""


class _Shape:
    """What the shared methods must know of a class."""

    def __init__(self, cls: Any) -> None:
        own = fields(cls)
        first = {field.name: field.default for field in own}
        made = {field.name: field.default_factory for field in own}
        factories = {name: one for name, one in made.items() if one is not MISSING}
        compared = [field.name for field in own if field.compare]
        self.cls = cls
        self.names = tuple(first)
        self.required = tuple(
            [name for name in first if first[name] is MISSING and name not in factories]
        )
        self.first = first  # every name, with its default
        self.factories = factories
        self.compared: Callable[[Mapping[str, Any]], Any] = (
            itemgetter(*compared) if compared else len
        )
        self.after: Callable[[Any], None] | None = getattr(cls, "__post_init__", None)
        self.made = 0

    def constructor(self) -> Callable[..., None]:
        """Compile a constructor for the class: what `_init` does, name by name."""
        known: dict[str, Any] = {"_missing": MISSING, "_after": self.after}
        takes, state = ["_self, /"], []
        for name in self.names:
            value = name
            if name in self.factories:
                known[f"_make_{name}"] = self.factories[name]
                takes.append(f"{name}=_missing")
                value = f"_make_{name}() if {name} is _missing else {name}"
            elif self.first[name] is MISSING:
                takes.append(name)
            else:
                known[f"_first_{name}"] = self.first[name]
                takes.append(f"{name}=_first_{name}")
            state.append(f"{name!r}: {value}")
        text = (
            f"def __init__({', '.join(takes)}):\n"
            f" _self.__dict__.update({{{', '.join(state)}}})\n"
        )
        if self.after is not None:
            text += " _after(_self)\n"
        exec(text, known)  # noqa: S102 - of names of fields alone
        made: Callable[..., None] = known["__init__"]
        return made


def _init(self: Any, /, *args: Any, **given: Any) -> None:
    shape = self._shape
    names, first, factories = shape.names, shape.first, shape.factories
    shape.made += 1
    if shape.made == OFTEN:
        shape.cls.__init__ = shape.constructor()
    state = self.__dict__
    state.update(first)
    for name in factories:
        if name not in given:
            state[name] = factories[name]()
    many = len(args)
    state.update(zip(names, args, strict=False))
    state.update(given)
    if (
        len(state) != len(names)
        or many > len(names)
        or (many and given and not given.keys().isdisjoint(names[:many]))
        or any(name not in given for name in shape.required[many:])
    ):
        wanted = ", ".join(names)
        raise TypeError(f"{type(self).__qualname__} takes, each once: {wanted}")
    if shape.after is not None:
        shape.after(self)


def _eq(self: Any, other: Any) -> Any:
    if other.__class__ is not self.__class__:
        return NotImplemented
    compared = self._shape.compared
    return compared(self.__dict__) == compared(other.__dict__)


def _hash(self: Any) -> int:
    return hash(self._shape.compared(self.__dict__))


def _repr(self: Any) -> str:
    names = [field.name for field in fields(self) if field.repr]
    values = ", ".join([f"{name}={getattr(self, name)!r}" for name in names])
    return f"{type(self).__qualname__}({values})"


def _refuse(self: Any, name: str, value: object = None) -> None:
    raise FrozenInstanceError(f"{type(self).__qualname__}.{name} does not change")


V = TypeVar("V")


class Same:
    """
    Values of which many are alike: each text, list and mapping of texts is held once.

    >>> same = Same()
    >>> same(["North", ["B"]])[0] is same(["North", ["B"]])[0]
    True
    >>> same({"reason": "read again"}) is same({"reason": "read again"})
    True
    """

    def __init__(self) -> None:
        self._held: dict[Any, Any] = {}

    def __call__(self, value: V) -> V:
        """Return the same value, made of those that are held."""
        if isinstance(value, str):
            found: V = self._held.setdefault(value, value)
            return found
        if isinstance(value, list):
            # Those within are held too, so that another one can't have their ids.
            within = [self(one) for one in value]
            found = self._held.setdefault(tuple(map(id, within)), within)
            return found
        if isinstance(value, dict):
            found = self._held.setdefault(tuple(value.items()), value)
            return found
        return value
