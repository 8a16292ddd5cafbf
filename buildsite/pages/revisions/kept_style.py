"""The style of a kept report, with the line that stands on each printed page."""

import re

from buildsite.pages.render import template_file

NO_STRING = re.compile(r"""["'\\<>&@{}\n\r\f]""")
"""What ends a text of a style, or is refused in a kept report's."""


def running(text: str) -> str:
    """
    Return a text as a style prints it on each page.

    >>> running('Kestrel "Soils" </style>'), running("Soils(2)")
    ('Kestrel Soils /style', 'Soils (2)')
    """
    plain = NO_STRING.sub("", text)
    return re.sub(r"(?<=\w)\(", " (", plain)


def style_of(laboratory: str, number: str, code: str) -> str:
    """Return the style, with laboratory, number and code on each printed page."""
    page = (
        "@page {\n"
        f'  @bottom-left {{ content: "{running(laboratory)}"; font: 8.5pt sans-serif; '
        "vertical-align: top; padding-top: 1.2mm; }\n"
        f'  @bottom-center {{ content: "{number} · report code {code}"; '
        "font: 600 8.5pt sans-serif; vertical-align: top; padding-top: 1.2mm; }\n"
        "}\n"
    )
    return template_file("kept.css").decode() + page
