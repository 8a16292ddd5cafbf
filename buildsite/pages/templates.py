"""
Templates compiled to byte code, which is kept beside them as Python keeps a module's.

To compile them takes a tenth of a second, in every build while nothing else goes on.
Python's own machinery decides whether byte code is as its source: here also as the
library and the options that made it. Where it can't be written, nothing is kept.
"""

import os
from collections.abc import Mapping, MutableMapping
from importlib.machinery import SourceFileLoader
from types import CodeType
from typing import Any
from zlib import crc32

from jinja2 import (
    Environment,
    FileSystemLoader,
    Template,
    TemplateNotFound,
    compiler,
)


class ByteCode(SourceFileLoader):
    """The byte code of a template: read, or compiled and kept."""

    def __init__(self, made: Environment, name: str, path: str) -> None:
        super().__init__(name, path)
        self._environment = made

    def source_to_code(  # type: ignore[override] # declared static, and is not
        self, data: Any, path: Any, *, _optimization: int = -1
    ) -> CodeType:
        """Compile a template."""
        text = bytes(data).decode("utf-8")
        return self._environment.compile(text, self.name, str(path))

    def path_stats(self, path: Any) -> Mapping[str, Any]:
        """Return size and time of a template: the time stands for what compiles it."""
        there, by = os.stat(path), os.stat(compiler.__file__)  # noqa: PTH116
        made = self._environment
        options = (made.autoescape, made.trim_blocks, made.lstrip_blocks)
        told = (there.st_mtime_ns, by.st_mtime_ns, by.st_size, *options)
        return {"mtime": crc32(repr(told).encode()), "size": there.st_size}


class KeptTemplates(FileSystemLoader):
    """Templates of a folder, each compiled when its byte code is not as it is."""

    def load(
        self,
        environment: Environment,
        name: str,
        globals: MutableMapping[str, Any] | None = None,
    ) -> Template:
        """Return a template."""
        path = os.path.join(self.searchpath[0], name)  # noqa: PTH118 (a text)
        try:
            code = ByteCode(environment, name, path).get_code(name)
        except FileNotFoundError:
            raise TemplateNotFound(name) from None
        if code is None:
            raise TemplateNotFound(name)
        return environment.template_class.from_code(
            environment, code, {} if globals is None else globals
        )
