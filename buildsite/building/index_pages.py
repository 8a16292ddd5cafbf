"""The pages of a site other than those of single tests, each made if it must be."""

from collections.abc import Callable, Collection, Generator, Sequence
from dataclasses import replace
from functools import partial
from typing import Any

from buildsite import workers
from buildsite.archive.archive import Archive
from buildsite.asked import Question, aside, ask, ask_again, questions
from buildsite.building.answers import short
from buildsite.building.at_hand import AtHand, Tests
from buildsite.building.inputs import BuildInputs
from buildsite.building.news_table import NewsTable, Noted, noted_news
from buildsite.building.steps import Steps
from buildsite.cache.value_forms import form_of
from buildsite.files import Stage, Written
from buildsite.pages.indexes.index_context import IndexContext, Step
from buildsite.pages.indexes.site_pages import index_steps
from buildsite.pages.page import site_of
from buildsite.progress import Progress
from buildsite.record.flags import Flag
from buildsite.values import dataclass

NEWS = "news"
"""The step of all issues and amendments, in their order."""

PAGES = form_of(tuple[str, ...])

LARGEST = ("search", "project", "reference", "flags", "data", "sample", "equipment")
"""Those that take longest, begun first: no process then waits for the last of them."""

FEW = 25
"""Steps that are not worth a process."""


def index_pages(
    inputs: BuildInputs,
    archive: Archive,
    stage: Stage,
    tests: Tests,
    jobs: int,
    progress: Progress,
) -> Generator[Written, None, int]:
    """Write the pages, or tell what is left of them; return the number of errors."""
    steps = tests.steps
    progress.stage("looking at the other pages")
    at_hand = AtHand(tests)
    with questions() as common:
        context = context_of(inputs, archive, tests, at_hand)
    todo: list[Step] = []
    for name, make in index_steps(context):
        step = f"pages {name}"
        if steps.stands(step):
            yield from steps.left(step)
        else:
            todo.append((step, make))
    todo.sort(key=rank)
    # What the last build kept is read from its file, which no two processes share.
    alone = len(todo) <= FEW or bool(steps.store.steps)
    making = Making(inputs, stage, todo, common)
    progress.stage("making the other pages", len(todo))
    with workers.workers(
        1 if alone else jobs, begin_pages, making, inherit=True
    ) as each:
        places = range(len(todo))
        for place, (files, asked) in zip(places, each(make_pages, places), strict=True):
            steps.keep(todo[place][0], PAGES, (), asked, files)
            yield from files
            progress.done()
    _MAKING.clear()
    at_hand.keep()
    return context.errors


@dataclass(frozen=True)
class Making:
    """What a process makes pages from: `common` was asked for all of them."""

    inputs: BuildInputs
    stage: Stage
    steps: Sequence[Step]
    common: Collection[Question]


_MAKING: list[Making] = []
"""Set once, when a process starts."""


def begin_pages(making: Making) -> None:
    """Give a process all that pages are made from."""
    _MAKING[:] = [making]


def make_pages(place: int) -> tuple[list[Written], frozenset[Question]]:
    """Write the pages of a step; return them, and what was asked."""
    making = _MAKING[0]
    inputs = making.inputs
    with questions() as asked:
        ask_again(making.common)
        made = making.steps[place][1]()
        files = [inputs.put(making.stage, path, data) for path, data in made]
    return files, frozenset(asked if inputs.notes else ())


def rank(step: Step) -> int:
    """Return the place of a step among those to be made, the largest first."""
    name = step[0].split()[1]
    return LARGEST.index(name) if name in LARGEST else len(LARGEST)


def context_of(
    inputs: BuildInputs, archive: Archive, tests: Tests, at_hand: AtHand
) -> IndexContext:
    """Return what the index pages are made of."""
    steps, strays = tests.steps, partial(strays_of, inputs, archive)
    released = inputs.released
    if released is not None:
        samples = frozenset(row.sample for row in at_hand.rows)
        released = replace(released, samples=samples)
    with aside():
        make = partial(noted_news, archive, at_hand.rows, inputs.history)
        noted = NewsTable(steps.value(NEWS, form_of(Noted), make), archive)
        moved = None if steps.made[NEWS] else ()
        steps.learn("news", noted.answer, moved)
        steps.learn("news-among", noted.answer_among, moved)
    return IndexContext(
        site_of(archive, inputs.options, released),
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
