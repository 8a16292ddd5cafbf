"""The manifest of a published site, as it comes back from wherever it was kept."""

import json
from collections.abc import Mapping
from typing import Any

from pydantic import BaseModel, ConfigDict, ValidationError


class Program(BaseModel):
    name: str = ""
    version: str = ""
    fingerprint: str


class Shape(BaseModel):
    """What a manifest must hold to be compared; a newer program may add to it."""

    model_config = ConfigDict(strict=True)

    commit: str | None
    files: dict[str, str]
    lock: str
    options: dict[str, object]
    software: Program
    tests: dict[str, list[str]]
    previous: str | None = None


def manifest_content(data: bytes) -> Mapping[str, Any]:
    """
    Return what a manifest holds.

    Raises
    ------
    ValueError
        If it is not one, with the first reason.
    """
    try:
        Shape.model_validate_json(data)
    except ValidationError as error:
        first = error.errors(include_url=False, include_input=False)[0]
        place = ".".join(map(str, first["loc"]))
        raise ValueError(f"{place}: {first['msg']}".removeprefix(": ")) from None
    content: Mapping[str, Any] = json.loads(data)
    return content
