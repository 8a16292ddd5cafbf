"""From an archive to a site: processes make and write the pages, one moves them."""

import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

from buildsite import software
from buildsite.building.answers import Answers
from buildsite.building.plan import planned
from buildsite.building.result import BuildResult
from buildsite.building.site import SiteBuild
from buildsite.building.steps import Steps
from buildsite.building.tasks import end_work
from buildsite.cache.opening import about_of, opened
from buildsite.cache.places import place_of
from buildsite.cache.seen import Seen, keep, lines, look
from buildsite.cache.states import States
from buildsite.cache.store import Store
from buildsite.cache.tables import Damaged
from buildsite.cache.unchanged import SUFFIX
from buildsite.files import Stage, Written, replace_site
from buildsite.history.kept_log import KeptLog
from buildsite.history.run import GitRefused, git_folder
from buildsite.pages.site_sources import Options
from buildsite.progress import SILENT, Progress

__all__ = ["BuildResult", "build"]

LOG = "log"
"""The text by which a build keeps the log for the next one."""


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
    site = Path(os.path.abspath(out))  # noqa: PTH100 - resolve() would follow a link
    try:
        return built(
            root, site, options, jobs, progress, scheduler, folder, cache=cache
        )
    except Damaged:  # what was kept is never needed
        forget(root, site, folder)
        return built(
            root, site, options, jobs, progress, scheduler, folder, cache=cache
        )


def built(
    root: Path,
    site: Path,
    options: Options,
    jobs: int,
    progress: Progress,
    scheduler: str,
    folder: Path | None,
    *,
    cache: bool,
) -> BuildResult:
    """Build a site, of what the last build kept if there is a cache."""
    git = git_of(root) if cache and not options.release else None
    first = look(root, git) if git is not None else None
    place = place_of(folder or git, site) if git is not None else None
    if place is not None:
        with suppress(OSError):
            place.with_suffix(SUFFIX).unlink()  # until this build is kept whole
    with kept_of(root, options, place, first) as store:
        states = States(first.records, store.files) if first is not None else None
        kept_log = store.text(LOG) if LOG in store.steps else ""
        log = KeptLog(kept_log)
        plan = planned(root, options, progress, states, log if states else None)
        if store.is_open and not plan.inputs.notes:
            store.forget()  # of a folder without a commit nothing can be told
        builds = store.about.get("builds", "0")
        answers = Answers(plan.inputs, plan.archive)
        steps = Steps(store, answers, site, f"{plan.built.checkout.commit} {builds}")
        if log.text is not kept_log or not steps.note_again(LOG):
            steps.note(LOG, log.text)
        del log, kept_log  # of a long past it is long, and lies on disk now

        def made(stage: Stage) -> Iterator[Written]:
            making = SiteBuild(plan, steps, jobs, progress, scheduler)
            yield from making.files(stage)

        try:
            replace_site(site, made)
        finally:
            end_work()
        done = plan.built
        if git is None or first is None:
            return done
        last = look(root, git)
        if first.records == last.records:
            plain = folder is None and options == Options()
            same = first.states == last.states
            steps.save({"builds": str(int(builds) + 1)})
            del plan, answers, steps.answers  # what follows needs the site alone
            left = steps.states_now() if same and plain and store.is_open else {}
            if left and keep(last, root, store.path, site, left, told_of(done)):
                store.note("program seen", last.program)
        else:
            store.forget()  # a file was changed while it was read
    return done


def forget(root: Path, site: Path, folder: Path | None) -> None:
    """Throw away what the last build kept."""
    Store(place_of(folder or git_folder(root), site)).forget()


def git_of(root: Path) -> Path | None:
    """Return git's own folder; None without git."""
    try:
        return git_folder(root)
    except GitRefused:
        return None


def told_of(built: BuildResult) -> list[str]:
    """Return what a build tells."""
    return lines(
        tests=built.tests,
        pages=built.pages,
        errors=built.errors,
        differs=built.checkout.differs,
    )


@contextmanager
def kept_of(
    root: Path, options: Options, place: Path | None, seen: Seen | None
) -> Iterator[Store]:
    """Yield what the last build of a site kept; a closed store if nothing is kept."""
    if seen is None or place is None:
        yield Store(Path())
        return
    about = about_of(place)
    if about.get("program seen") == seen.program:
        software.believe(about["program"])
    with opened(place, program(root, options)) as store:
        yield store


def program(root: Path, options: Options) -> dict[str, str]:
    """Return what a step relies on and does not ask: program, libraries, options."""
    return {
        "program": software.fingerprint(),
        "python": sys.version,
        "libraries": software.libraries(),
        "archive": str(root),
        "options": f"{options.base_url} {options.without_history}",
    }
