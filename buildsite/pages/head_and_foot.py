"""What stands at the head and the foot of every page: made once a folder."""

from functools import lru_cache
from typing import NamedTuple

from markupsafe import Markup

from buildsite.pages.links import FOOTER, HOME, SEARCH, navigation
from buildsite.pages.render import fragment
from buildsite.values import dataclass


@dataclass(frozen=True)
class Around:
    """The laboratory and the links around a page, for the template."""

    laboratory: str
    place: str
    home: str
    search: str
    navigation: tuple[tuple[str, str, bool], ...]  # label, link, here
    below: tuple[tuple[str, str], ...]  # label, link of the foot
    template: str


class HeadAndFoot(NamedTuple):
    """Head and foot of a page as HTML."""

    bar: Markup
    foot: Markup


@lru_cache(1 << 10)
def head_and_foot(
    laboratory: str, place: str, top: str, here: str, *, release: bool
) -> HeadAndFoot:
    """
    Return head and foot of the pages of a folder.

    `top` is the way to the top of the site, `here` the part of the site they are in.
    """
    parts = (
        Around(
            laboratory,
            place,
            home=top + HOME,
            search=top + SEARCH,
            navigation=tuple(
                (label, top + to, to.partition("/")[0] == here)
                for label, to in navigation(release=release)
            ),
            below=tuple((label, top + to) for label, to in FOOTER),
            template=template,
        )
        for template in ("bar.html", "foot.html")
    )
    return HeadAndFoot(*map(fragment, parts))
