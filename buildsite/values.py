"""
`dataclass` for a program that starts often: the standard one without code generation.

The standard decorator compiles a constructor and comparisons for each class: 0.6 ms
each, a fifth of what `check` of one file took. These classes share one of each, at
0.04 ms a class. `fields`, `replace` and `asdict` of `dataclasses` take them as their
own. There are no slots and no order.
"""

from collections.abc import Callable, Mapping
from dataclasses import MISSING, FrozenInstanceError, fields
from dataclasses import dataclass as standard
from operator import itemgetter
from typing import TYPE_CHECKING, Any, NamedTuple

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
        cls._shape, cls.__init__ = _shape_of(cls), _init
        if "__repr__" not in vars(cls):
            cls.__repr__ = _repr
        if eq:
            cls.__eq__, cls.__hash__ = _eq, _hash if frozen else None
        if frozen:
            cls.__setattr__ = cls.__delattr__ = _refuse
        return cls


class _Shape(NamedTuple):
    """What the shared methods must know of a class."""

    names: tuple[str, ...]
    required: tuple[str, ...]
    first: dict[str, Any]  # every name, with its default
    factories: dict[str, Callable[[], Any]]
    compared: Callable[[Mapping[str, Any]], Any]
    after: Callable[[Any], None] | None


def _shape_of(cls: Any) -> _Shape:
    own = fields(cls)
    first = {field.name: field.default for field in own}
    made = {field.name: field.default_factory for field in own}
    factories = {name: one for name, one in made.items() if one is not MISSING}
    compared = [field.name for field in own if field.compare]
    return _Shape(
        tuple(first),
        tuple([n for n in first if first[n] is MISSING and n not in factories]),
        first,
        factories,
        itemgetter(*compared) if compared else len,
        getattr(cls, "__post_init__", None),
    )


def _init(self: Any, /, *args: Any, **given: Any) -> None:
    names, required, first, factories, _, after = self._shape
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
        or any(name not in given for name in required[many:])
    ):
        wanted = ", ".join(names)
        raise TypeError(f"{type(self).__qualname__} takes, each once: {wanted}")
    if after is not None:
        after(self)


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
