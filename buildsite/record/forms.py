"""Fields that accept more than one form."""

from collections.abc import Mapping
from typing import Annotated, Any, TypeVar

from pydantic import BeforeValidator, Discriminator

T = TypeVar("T")


def _listed(value: object) -> object:
    """Return one value as a list of one."""
    return value if isinstance(value, list | tuple) else (value,)


class _OneOrMore:
    """JSON Schema of a value or a list of values."""

    def __get_pydantic_json_schema__(self, core: Any, handler: Any) -> Any:
        """Return both forms."""
        several = handler(core)
        return {"anyOf": [several["items"], several]}


OneOrMore = Annotated[tuple[T, ...], _OneOrMore(), BeforeValidator(_listed)]
"""One value, or a list of them: ``container_and_dry: OneOrMore[Mass]``."""


def form_by_key(otherwise: str, **forms: str) -> Discriminator:
    """
    Return a discriminator that chooses a model by a key that only it has.

    For a plain union pydantic would report the faults of every model; with this, only
    those of the intended one. Tags are in round brackets, so that they never look
    like a field::

        Gravity = Annotated[
            Annotated[Value, Tag("(value)")] | Annotated[Reference, Tag("(test)")],
            form_by_key("(value)", test="(test)"),
        ]

    The first key found decides; `otherwise` is the tag where there is none.
    """

    def tag(value: Any) -> str:
        for key, form in forms.items():
            if isinstance(value, Mapping):
                if value.get(key) is not None:
                    return form
            elif getattr(value, key, None) is not None:
                return form
        return otherwise

    return Discriminator(tag)
