"""
What a kept report may hold: text, tables, one style and embedded pictures.

A kept report is opened by people who trust the laboratory, and published. So it holds
no script and no form and loads nothing, whichever program made it. What is not listed
here is refused: a list of what is forbidden would always lack something.

One plain link is allowed: to the test's page on the laboratory's site, which tells the
current revision. Its address is given by the caller, and its tag stands as `plain_link`
writes it, letter for letter.

The reader is stricter than a browser. It knows plain tags with quoted attributes, as
the templates write them, and refuses everything else that begins with ``<``. So the
two can't read one file differently.
"""

import base64
import binascii
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import lru_cache
from html import escape, unescape


def words(text: str) -> frozenset[str]:
    """Return the words of a text."""
    return frozenset(text.split())


ELEMENTS = words(
    "abbr article b body br caption code col colgroup dd div dl dt em figcaption "
    "figure footer h1 h2 h3 h4 head header hr html i img li link main meta ol p "
    "section small span strong style sub sup table tbody td tfoot th thead time title "
    "tr ul"
)
ATTRIBUTES = words(
    "class colspan dir headers id lang role rowspan scope tabindex title"
)
"""Attributes of any element, with those that begin with `aria-` or `data-`."""

OWN: Mapping[str, frozenset[str]] = {
    "img": frozenset({"src", "width", "height", "alt"}),
    "link": frozenset({"rel", "href"}),
    "meta": frozenset({"charset", "name", "content", "http-equiv"}),
    "time": frozenset({"datetime"}),
    "style": frozenset(),
}
"""Further attributes of one element."""

VALUES: Mapping[tuple[str, str], frozenset[str]] = {
    ("link", "rel"): frozenset({"icon"}),
    ("link", "href"): frozenset({"data:,"}),
    ("meta", "charset"): frozenset({"utf-8"}),
    ("meta", "http-equiv"): frozenset({"content-security-policy"}),
    ("meta", "name"): frozenset({"color-scheme", "description", "robots", "viewport"}),
}
"""Attributes with the only values that they may have, in lower case."""

SVG_ELEMENTS = words(
    "circle clipPath defs desc ellipse g line path polygon polyline rect style svg "
    "text title tspan use"
)
SVG_ATTRIBUTES = words(
    "class clip-path cx cy d dx dy fill fill-opacity font-family font-size font-weight "
    "height id opacity points preserveAspectRatio r role rx ry stroke stroke-dasharray "
    "stroke-linecap stroke-linejoin stroke-opacity stroke-width style text-anchor "
    "transform type version viewBox width x x1 x2 xmlns xmlns:xlink y y1 y2"
)
NAMESPACES = {
    "xmlns": "http://www.w3.org/2000/svg",
    "xmlns:xlink": "http://www.w3.org/1999/xlink",
}
"""Names of languages, which nothing is loaded from."""

LINKS = ("href", "xlink:href")
PART, OWN_PAINT = re.compile(r"#[\w.-]+"), re.compile(r"url\(#[\w.-]+\)")
"""A part of the same picture, and paint that is one."""

PAINTED = ("clip-path", "fill", "stroke", "style")
"""Attributes of a picture that are read as a style."""

TOKEN = re.compile(
    r"<(?P<end>/?)(?P<name>[A-Za-z][A-Za-z0-9]*)"
    r"(?P<attributes>(?:\s+[A-Za-z][\w:-]*(?:=\"[^\"<>]*\")?)*)\s*/?>",
    re.ASCII,
)
ATTRIBUTE = re.compile(r"([A-Za-z][\w:-]*)(?:=\"([^\"]*)\")?", re.ASCII)
BEGINNING = re.compile(r"<!doctype html>\s*<html[ >]", re.IGNORECASE)
HIDDEN = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f\u202a-\u202e\u2066-\u2069\ufeff\ufffe\uffff]"
)
"""Control characters, and those that turn the order of what a person reads."""

IMAGE = re.compile(r"data:image/(svg\+xml|png);base64,([A-Za-z0-9+/]*={0,2})")

CSS_AT = re.compile(r"@\s*([a-z-]+)")
CSS_AT_RULES = re.compile(
    r"media|supports|page|keyframes|layer|container|property|"
    r"(top|bottom|left|right)(-(left|center|right|top|middle|bottom|))?(-corner)?"
)
CSS_FUNCTION = re.compile(r"([a-z-]+)\(")
CSS_FUNCTIONS = words(
    "attr calc clamp color-mix counter counters cubic-bezier fit-content has hsl hsla "
    "inset is light-dark linear-gradient max min minmax not nth-child nth-last-child "
    "nth-of-type oklch repeat rgb rgba rotate scale steps translate translatex "
    "translatey var where"
)
FEW = 5
"""Reasons told of one file."""

SHOWN = 60
"""Characters shown of what was refused."""


def why_refused(data: bytes, address: str = "") -> tuple[str, ...]:
    r"""
    Return why a kept report is refused, a few reasons; none if it may be kept.

    `address` is where its one link may lead; blank if it may have none.

    >>> why_refused(b'<!doctype html>\n<html lang="en"><p>108.0</p></html>')
    ()
    >>> why_refused(b"<!doctype html><html><script>alert(1)</script></html>")
    ('line 1: an element <script>', 'line 1: an element <script>')
    """
    found = []
    for one in refusals(data, plain_link(address)):
        found.append(one)
        if len(found) == FEW:
            break
    return tuple(found)


def plain_link(address: str) -> tuple[str, ...]:
    """
    Return the two tags of the one link of a report; none without an address.

    >>> plain_link("https://soils.example/tests/HF-0117/")
    ('<a href="https://soils.example/tests/HF-0117/">', '</a>')
    """
    return (f'<a href="{escape(address)}">', "</a>") if address else ()


def refusals(data: bytes, link: tuple[str, ...] = ()) -> Iterator[str]:
    """Yield every reason against a kept report, which may hold the tags of a link."""
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError:
        yield "bytes that are not UTF-8"
        return
    hidden = HIDDEN.search(text)
    if hidden is not None:
        line = text.count("\n", 0, hidden.start()) + 1
        yield f"line {line}: a hidden character, U+{ord(hidden[0]):04X}"
    if not BEGINNING.match(text):
        yield "another beginning than <!doctype html><html>"
        return
    start = text.index(">") + 1
    for place, what in parts(text, start, refused_in_html, link):
        yield f"line {text.count(chr(10), 0, place) + 1}: {what}"


Pairs = Sequence[tuple[str, str]]
"""Attributes as written. Of two with one name a browser takes the first."""

Judge = Callable[[str, Pairs], Iterator[str]]


def parts(
    text: str, start: int, judge: Judge, once: tuple[str, ...] = ()
) -> Iterator[tuple[int, str]]:
    """
    Yield place and reason of each part of a text with tags that is refused.

    The tags `once` may stand there, each once and in that order.
    """
    at, style, left = start, -1, once
    while (place := text.find("<", at)) >= 0:
        found = TOKEN.match(text, place)
        if found is None:
            yield place, f"{shown(text[place:])}, which is no plain element or text"
            at = place + 1
            continue
        at = found.end()
        if left and found[0] == left[0] and style < 0:
            left = left[1:]
            continue
        for what in judged(judge, found["name"], found["attributes"]):
            yield place, what
        if style >= 0:
            yield from (
                (style, what) for what in refused_style(text[style:place], found)
            )
        begins = found["name"] == "style" and not found["end"]
        style = at if begins else -1
    if style >= 0:
        yield style, "a style without an end"
    if left and left != once:
        yield at, "a link without an end"


def refused_style(text: str, end: re.Match[str]) -> Iterator[str]:
    """Yield what is refused of a style, and of the element after it: its end."""
    if not (end["name"] == "style" and end["end"]):
        yield "an element in a style"
    yield from refused_css(text)
    if "&" in text:  # in a picture &#64;import is @import
        yield from refused_css(unescape(text))


@lru_cache(maxsize=1 << 14)
def judged(judge: Judge, name: str, attributes: str) -> tuple[str, ...]:
    """Return what is refused of one element. Most elements of a report are alike."""
    pairs = [(key, unescape(value)) for key, value in ATTRIBUTE.findall(attributes)]
    return tuple(judge(name, pairs))


def shown(text: str) -> str:
    r"""
    Return the beginning of a text on one line.

    >>> shown("<!-- a\n -->")
    "'<!-- a\\n -->'"
    """
    return repr(text[:SHOWN])


def refused_in_html(name: str, attributes: Pairs) -> Iterator[str]:
    """Yield what is refused of one element of a page."""
    if name not in ELEMENTS:
        yield f"an element <{name}>"
        return
    for key, value in attributes:
        own = OWN.get(name, frozenset())
        plain = key in ATTRIBUTES or key.startswith(("aria-", "data-"))
        only = VALUES.get((name, key))
        if key not in own and not plain:
            yield f"an attribute {key} of <{name}>"
        elif only is not None and value.lower() not in only:
            yield f"{key}={shown(value)} of <{name}>"
        elif (name, key) == ("img", "src"):
            yield from refused_picture(value)


def refused_picture(address: str) -> Iterator[str]:
    """Yield why a picture is refused: it is embedded, and loads nothing itself."""
    found = IMAGE.fullmatch(address)
    if found is None:
        yield f"a picture that is not embedded, {shown(address)}"
        return
    try:
        data = base64.b64decode(found[2], validate=True)
        text = data.decode("utf-8") if found[1] == "svg+xml" else ""
    except (binascii.Error, UnicodeDecodeError):
        yield "a picture that can't be read"
        return
    for _, what in parts(text, 0, refused_in_svg):
        yield f"in a picture, {what}"


def refused_in_svg(name: str, attributes: Pairs) -> Iterator[str]:
    """Yield what is refused of one element of a picture."""
    if name not in SVG_ELEMENTS:
        yield f"an element <{name}>"
        return
    for key, value in attributes:
        plain = key in SVG_ATTRIBUTES or key.startswith(("aria-", "data-"))
        if key in LINKS and not (name == "use" and PART.fullmatch(value)):
            yield f"{key}={shown(value)} of <{name}>"
        elif key not in LINKS and not plain:
            yield f"an attribute {key} of <{name}>"
        elif key in NAMESPACES and value != NAMESPACES[key]:
            yield f"{key}={shown(value)} of <{name}>"
        elif key in PAINTED and not OWN_PAINT.fullmatch(value):
            yield from refused_css(value)


@lru_cache(maxsize=1 << 10)
def refused_css(text: str) -> tuple[str, ...]:
    r"""
    Return what is refused of a style: all that could load something.

    Reports of one program have the same style.

    >>> refused_css("p { color: var(--ink); content: '.' }")
    ()
    >>> refused_css("p { background: url(https://a.example/x) }")
    ('url( in a style',)
    >>> refused_css("@import 'https://a.example/x';")
    ('@import in a style',)
    """
    plain = text.lower()  # with its comments: in a string, /* begins none
    rules = (found[1] for found in CSS_AT.finditer(plain))
    functions = (found[1] for found in CSS_FUNCTION.finditer(plain))
    return (
        *(["a backslash in a style"] if "\\" in text else []),  # \75rl( is url(
        *(f"@{one} in a style" for one in rules if not CSS_AT_RULES.fullmatch(one)),
        *(f"{one}( in a style" for one in functions if one not in CSS_FUNCTIONS),
    )
