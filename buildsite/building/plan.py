"""What a build begins with: records, history, options."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from buildsite import software
from buildsite.archive.archive import Archive
from buildsite.archive.identity import name_of
from buildsite.archive.issues import released_of
from buildsite.archive.signatures import signatures_of
from buildsite.building.inputs import BuildInputs
from buildsite.building.result import BuildResult
from buildsite.cache.states import States
from buildsite.errors import EnvironmentFault
from buildsite.files import read_archive
from buildsite.history.commit import compared_with
from buildsite.history.kept_log import KeptLog
from buildsite.history.run import Checkout, checkout
from buildsite.history.walk import History, read_history
from buildsite.pages.site_sources import Options
from buildsite.progress import Progress
from buildsite.values import dataclass


@dataclass(frozen=True)
class Plan:
    """What a build begins with: its inputs, their archive, and what is told of it."""

    inputs: BuildInputs
    archive: Archive
    built: BuildResult

    def shown(self, files: Sequence[str]) -> list[str]:
        """Return those tests that have pages: all, or in a released site some."""
        released = self.inputs.released
        return [
            file
            for file in files
            if released is None or name_of(file) in released.tests
        ]


def planned(
    root: Path,
    options: Options,
    progress: Progress,
    states: States | None = None,
    log: KeptLog | None = None,
) -> Plan:
    """
    Read what a build begins with.

    With the `states` of the files, what is asked is noted, and of a file that is as the
    last build left it the bytes are read only when somebody asks. The `log` is that
    which it read.
    """
    progress.stage("reading records")
    told = states or States()
    known = {
        name: one.blob for name in told.now if (one := told.told(name)) is not None
    }
    state, read = checkout(root), read_archive(root, known)
    blobs: Mapping[str, str] = {}
    if state.commit is not None:
        names = (*read.records, *read.issued)
        differ, blobs = compared_with(root, state.commit, names, read.text, known)
        paths = state.paths | differ
        if state.differs and not paths:
            paths = frozenset({"records"})  # a repository among them: git says no more
        state = replace(state, differs=bool(paths), paths=paths)
    built = BuildResult(checkout=state)
    options = replace(options, software=software.software(), uncommitted=state.paths)
    progress.stage("reading the history")
    history = None if options.without_history else past_of(root, state, log)
    stands = state.commit or "" if not state.differs else ""
    notes = states is not None and state.commit is not None
    inputs = BuildInputs(
        root,
        read,
        options,
        history,
        stands=stands,
        notes=notes,
        states=told,
        blobs=blobs,
    )
    archive = inputs.archive()
    inputs = replace(
        inputs,
        released=released_of(archive) if options.release else None,
        signatures=signatures_of(history) if history and not options.release else {},
    )
    if inputs.released is not None:
        built.withheld = inputs.released.withheld
        built.doubtful = inputs.released.doubtful
    return Plan(inputs, archive, built)


def past_of(root: Path, state: Checkout, log: KeptLog | None) -> History:
    """
    Read the git history of an archive.

    Raises
    ------
    EnvironmentFault
        If the folder is not a git clone, or a shallow one.
    """
    if state.commit is None:
        raise EnvironmentFault(
            f"{root} is not a git clone with a commit: there is no history to show.",
            "Clone the archive with git, or build with `--without-history`: every page "
            "then says that earlier states and edits are not shown.",
        )
    return read_history(root, log=log)
