"""What each process of a build is given: files as read, history, options."""

from collections.abc import Iterator, Mapping
from dataclasses import field
from functools import cached_property, partial
from pathlib import Path

from buildsite import software
from buildsite.archive.archive import Archive
from buildsite.archive.inputs_as_issued import Contents, present_in
from buildsite.archive.issued_files import IssuedFiles, Together
from buildsite.archive.issues import Released
from buildsite.archive.record_history import RecordHistory
from buildsite.archive.states import archive_at
from buildsite.archive.unpublished import Unpublished
from buildsite.asked import Names, ask
from buildsite.cache.states import States
from buildsite.errors import EnvironmentFault
from buildsite.files import ArchiveFiles, Listing, Stage, Written
from buildsite.history.walk import History
from buildsite.pages.site_sources import Options, SiteSources
from buildsite.record.commits import Signature
from buildsite.values import dataclass


@dataclass(frozen=True)
class BuildInputs:
    """
    What a process needs to render tests: the files as read, and the git history.

    `history` is None in a build without history, `released` in the laboratory's own
    copy. `signatures` gives the state of each edit's signature, if the laboratory lists
    keys and edits are shown.
    """

    root: Path
    files: ArchiveFiles
    options: Options
    history: History | None = None
    together: Together = field(default_factory=dict)
    released: Released | None = None
    signatures: Mapping[str, Signature] = field(default_factory=dict)
    stands: str = ""  # the commit of these records, if they are committed
    notes: bool = False  # what each step asks is kept for the next build
    states: States = field(default_factory=States)
    blobs: Mapping[str, str] = field(default_factory=dict)  # of files as committed

    def put(self, stage: Stage, path: str, data: bytes) -> Written:
        """Write a file of the site; refuse one that tells clients a secret."""
        if self.released is not None:
            refuse_secrets(self.released.secret, path, data)
        return stage.put(path, data)

    def archive(self) -> Archive:
        """Return the archive, which notes what is asked of its files."""
        files = self.files

        def read(name: str) -> bytes:
            ask("file", name)
            return self.read(name)

        return Archive(
            Names(tuple(files.records), "names"),
            read,
            issued=Names(tuple(files.issued), "issued"),
            kept=Names(files.kept, "kept"),
            program=software.fingerprint,
        )

    def read(self, name: str) -> bytes:
        """Return the bytes of a file. Kept files are read only when needed."""
        files = self.files
        if name in files.records or name in files.issued:
            return files.text(name)
        return Listing(self.root, (), (), (), ()).read(name)

    def has(self, name: str) -> bool:
        """Whether a record, an issued or a kept file is there."""
        files = self.files
        return name in files.records or name in files.issued or name in self._kept

    @cached_property
    def _kept(self) -> frozenset[str]:
        return frozenset(self.files.kept)

    def sources(self, archive: Archive) -> SiteSources:
        """Open kept files and the history. Each process runs its own git."""
        past = self.history
        if past is not None:
            past = past.reopened(Present(self.files, self.blobs))
        contents = Contents(past, present_in(archive))
        issued_files = IssuedFiles(contents, self.together)
        edits = past is not None and not self.options.release
        if past is None or not edits:
            return SiteSources(issued_files, None, self.released)
        record_history = RecordHistory(
            past,
            partial(archive_at, past),
            self.signatures,
            self.stands,
            archive.shared,
        )
        return SiteSources(issued_files, record_history, self.released)


class Present(Mapping[str, bytes]):
    """The records and issued files that are as committed, by git's names of blobs."""

    def __init__(self, files: ArchiveFiles, blobs: Mapping[str, str]) -> None:
        self._files = files
        self._names = {blob: name for name, blob in blobs.items()}

    def __getitem__(self, blob: str) -> bytes:
        """Return the bytes of a blob."""
        return self._files.text(self._names[blob])

    def __iter__(self) -> Iterator[str]:
        """Go through the names of the blobs."""
        return iter(self._names)

    def __len__(self) -> int:
        """Count them."""
        return len(self._names)


def refuse_secrets(secret: Unpublished, path: str, data: bytes) -> None:
    """Refuse a file for clients that names a project that is not published."""
    told = secret.told(path, data)
    if told:
        raise EnvironmentFault(
            f"{path} would name {', '.join(told)} of {secret.project(told[0])}, which "
            "is not published. Nothing was built.",
            "Look where it is named (`git grep` in records/), and issue no report "
            "that says so; or publish that project too.",
        )
