"""From an archive to a site: processes make and write the pages, one moves them."""

import json
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from buildsite import software
from buildsite.building.answers import Answers
from buildsite.building.inputs import BuildInputs
from buildsite.building.plan import planned
from buildsite.building.result import BuildResult
from buildsite.building.site import SiteBuild
from buildsite.building.steps import Steps
from buildsite.building.tasks import end_work
from buildsite.cache.files import state_at
from buildsite.cache.places import place_of
from buildsite.cache.store import Store, opened
from buildsite.cache.unchanged import Seen, lines, look, seen_with, settled
from buildsite.files import Stage, Written, replace_site
from buildsite.history.run import GitRefused, git_folder
from buildsite.pages.site_sources import Options
from buildsite.progress import SILENT, Progress

__all__ = ["BuildResult", "build"]


def build(
    root: Path,
    out: Path,
    options: Options,
    jobs: int,
    progress: Progress = SILENT,
    *,
    cache: bool = False,
    scheduler: str = "",
    folder: Path | None = None,
) -> BuildResult:
    """
    Build the whole site of an archive.

    `out` is replaced whole, and only if it is empty or an earlier site. Any number of
    `jobs` (processes), or of workers of a `scheduler`, gives the same bytes, and so
    does a `cache`: what the last build of this site made is taken where nothing that it
    asked has changed. It is kept in git's own folder, or in another `folder`.

    Raises
    ------
    EnvironmentFault
        If `out` is something else or can't be written; if the git history is needed
        and is not there.
    """
    keep = cache and folder is None
    first = look_at(root, options) if keep else None
    plan = planned(root, options, progress, cache=cache)
    site = Path(os.path.abspath(out))  # noqa: PTH100 - resolve() would follow a link
    with kept_of(plan.inputs, site, folder) as store:
        builds = store.about.get("builds", "0")
        answers = Answers(plan.inputs, plan.archive)
        steps = Steps(store, answers, site, f"{plan.built.checkout.commit} {builds}")

        def made(stage: Stage) -> Iterator[Written]:
            making = SiteBuild(plan, steps, jobs, progress, scheduler)
            yield from making.files(stage)

        before = kept_states(plan.inputs)
        try:
            replace_site(out, made)
        finally:
            end_work()
        if before == kept_states(plan.inputs):
            steps.save({"builds": str(int(builds) + 1), "seen": ""})
            if first is not None:
                note_seen(store, site, (first, look_at(root, options)), plan.built)
        else:
            store.forget()  # a kept file was changed while it was read
    return plan.built


def look_at(root: Path, options: Options) -> Seen | None:
    """Look at all that a plain build is made of; None for another, or without git."""
    plain = options == Options()
    try:
        return look(root, git_folder(root)) if plain else None
    except GitRefused:
        return None


def note_seen(
    store: Store, site: Path, seen: tuple[Seen, Seen | None], built: BuildResult
) -> None:
    """Note what a build saw, if nothing of it has changed while it went on."""
    first, last = seen
    if last is None or first.digest != last.digest or not store.is_open:
        return
    digest = seen_with(last, site)
    if settled(last, store.path):
        told = lines(
            tests=built.tests,
            pages=built.pages,
            errors=built.errors,
            differs=built.checkout.differs,
        )
        store.note("told", json.dumps(told))
        store.note("seen", digest)


@contextmanager
def kept_of(inputs: BuildInputs, site: Path, folder: Path | None) -> Iterator[Store]:
    """Yield what the last build of a site kept; a closed store if nothing is kept."""
    if not inputs.notes:
        yield Store(site)
        return
    place = place_of(folder or git_folder(inputs.root), site)
    with opened(place, program(inputs)) as store:
        yield store


def program(inputs: BuildInputs) -> dict[str, str]:
    """Return what a step relies on and does not ask: program, libraries, options."""
    options = inputs.options
    return {
        "program": software.fingerprint(),
        "python": sys.version,
        "libraries": software.libraries(),
        "archive": str(inputs.root),
        "options": f"{options.base_url} {options.without_history}",
    }


def kept_states(inputs: BuildInputs) -> dict[str, str]:
    """Return the states of the kept files, which are read only when asked for."""
    if not inputs.notes:
        return {}
    return {name: state_at(inputs.root / name) for name in inputs.files.kept}
