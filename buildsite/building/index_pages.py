"""The pages of a site other than those of single tests, each made if it must be."""

from collections.abc import Callable, Generator
from dataclasses import replace
from functools import partial
from typing import Any

from buildsite.archive.archive import Archive
from buildsite.asked import aside, ask, ask_again, questions
from buildsite.building.answers import short
from buildsite.building.at_hand import AtHand, Tests
from buildsite.building.inputs import BuildInputs
from buildsite.building.news_table import NewsTable, Noted, noted_news
from buildsite.building.steps import Steps
from buildsite.cache.value_forms import form_of
from buildsite.files import Stage, Written
from buildsite.pages.indexes.index_context import IndexContext
from buildsite.pages.indexes.news import NewsLists, collect_news
from buildsite.pages.indexes.site_pages import index_steps
from buildsite.pages.page import site_of
from buildsite.record.flags import Flag

NEWS = "news"
"""The step of all issues and amendments, in their order."""

PAGES = form_of(tuple[str, ...])


def index_pages(
    inputs: BuildInputs, archive: Archive, stage: Stage, tests: Tests
) -> Generator[Written, None, int]:
    """Write the pages, or tell what is left of them; return the number of errors."""
    steps = tests.steps
    at_hand = AtHand(tests) if steps.keeps else None
    with questions() as common:
        context = context_of(inputs, archive, tests, at_hand)
    for name, make in index_steps(context):
        step = f"pages {name}"
        if steps.stands(step):
            yield from steps.left(step)
            continue
        files: list[Written] = []
        with questions() as asked:
            ask_again(common)
            for path, data in make():
                files.append(inputs.put(stage, path, data))
                yield files[-1]
        steps.keep(step, PAGES, (), asked, files)
    if at_hand is not None:
        at_hand.keep()
    return context.errors


def context_of(
    inputs: BuildInputs,
    archive: Archive,
    tests: Tests,
    at_hand: AtHand | None,
) -> IndexContext:
    """Return what the index pages are made of."""
    steps, strays = tests.steps, partial(strays_of, inputs, archive)
    released = inputs.released
    if at_hand is None:
        rows = tests.rows
        if released is not None:
            samples = frozenset(row.sample for row in rows)
            released = replace(released, samples=samples)
        news = NewsLists(collect_news(archive, rows, inputs.history))
        site = site_of(archive, inputs.options, released)
        return IndexContext(site, rows, strays, news)
    with aside():
        make = partial(noted_news, archive, at_hand.rows, inputs.history)
        noted = NewsTable(steps.value(NEWS, form_of(Noted), make), archive)
        moved = () if steps.made[NEWS] is None else None
        steps.learn("news", noted.answer, moved)
        steps.learn("news-among", noted.answer_among, moved)
    return IndexContext(
        site_of(archive, inputs.options),
        at_hand.rows,
        strays,
        noted,
        partial(kept_value, steps),
        at_hand.uses.of,
    )


def strays_of(inputs: BuildInputs, archive: Archive) -> tuple[Flag, ...]:
    """Return the flags of files that are of no record."""
    ask("listing-flags")
    return (*inputs.files.flags, *archive.strays())


def kept_value(steps: Steps, name: str, kind: Any, make: Callable[[], Any]) -> Any:
    """
    Return a value that several pages need; they ask for it as a whole.

    It is looked up in every build before the pages that ask for it, or by one of them.
    """
    step = f"value {name}"
    with aside():
        value = steps.value(step, form_of(kind), make)
    steps.compare(("value", name), short(steps.text(step)))
    ask("value", name)
    return value
