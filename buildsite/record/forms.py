"""Values that may be written in more than one form."""

from collections.abc import Mapping
from typing import Annotated, Any, TypeVar

from pydantic import BeforeValidator, Discriminator

T = TypeVar("T")


def _listed(value: object) -> object:
    """Return one value as a list of one."""
    return value if isinstance(value, list | tuple) else (value,)


class _OneOrMore:
    """Describes a value that may stand alone or in a list."""

    def __get_pydantic_json_schema__(self, core: Any, handler: Any) -> Any:
        """Offer editors both forms."""
        several = handler(core)
        return {"anyOf": [several["items"], several]}


OneOrMore = Annotated[tuple[T, ...], _OneOrMore(), BeforeValidator(_listed)]
"""One value, or a list of them: ``container_and_dry: OneOrMore[Mass]``."""


def form_by_key(otherwise: str, **forms: str) -> Discriminator:
    """
    Choose between models by a key that only one of them has.

    Pydantic would report the faults of every model of a plain union; with this a
    person sees those of the one that was meant. Tags stand in round brackets, so
    that they never look like a field::

        Gravity = Annotated[
            Annotated[Value, Tag("(value)")] | Annotated[Reference, Tag("(test)")],
            form_by_key("(value)", test="(test)"),
        ]

    Parameters
    ----------
    otherwise
        Tag of the model for a mapping that has none of the keys.
    forms
        Key and tag, the first key found decides.
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
