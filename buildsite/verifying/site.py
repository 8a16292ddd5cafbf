"""A site compared with its manifest, and with a rebuild of its commit."""

import os
import re
import tempfile
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from buildsite import software
from buildsite.build import build
from buildsite.errors import EnvironmentFault
from buildsite.exports.manifest import NAME
from buildsite.history.run import git
from buildsite.history.walk import History
from buildsite.pages.site_sources import Options
from buildsite.progress import Progress
from buildsite.record.canonical import digest
from buildsite.record.manifest import manifest_content
from buildsite.record.proof import Fault
from buildsite.values import dataclass

OF_A_TEST = re.compile(r"tests/(?P<test>[^/]+)/(?:r(?P<revision>[0-9]{1,9})/)?")
REBUILD = "build the site again from its commit: the published files are not as built"


@dataclass(frozen=True)
class Manifest:
    """A manifest as read."""

    path: Path
    data: bytes
    content: Mapping[str, Any]

    @property
    def commit(self) -> str:
        """The commit the site was built from; empty if there was none."""
        return self.content["commit"] or ""

    @property
    def files(self) -> Mapping[str, str]:
        """Digest of each file."""
        files: Mapping[str, str] = self.content["files"]
        return files

    @property
    def tests(self) -> Mapping[str, list[str]]:
        """Digests of each test's issued items, in order."""
        tests: Mapping[str, list[str]] = self.content["tests"]
        return tests


def read_manifest(path: Path) -> Manifest:
    """Read a manifest; an unreadable one is a fault, never a first publication."""
    try:
        data = path.read_bytes()
        return Manifest(path, data, manifest_content(data))
    except (OSError, ValueError) as error:
        raise unreadable_manifest(path, str(error)) from error


def manifest_of(site: Path) -> Manifest:
    """Return the manifest of a site, which must be a file of the site itself."""
    path = site / NAME
    if path.is_symlink() or (path.exists() and not path.is_file()):
        raise unreadable_manifest(path, "it is a link, a pipe or a device")
    return read_manifest(path)


def unreadable_manifest(path: Path, why: str) -> EnvironmentFault:
    """Return the fault of an unreadable manifest."""
    return EnvironmentFault(
        f"Can't read a manifest at {path}: {why}.",
        "Fetch the whole file again. Use `--first-publication` only if nothing was "
        "ever published.",
    )


def site_fault(manifest: Manifest, path: str, what: str) -> Fault:
    """Return the fault of a file of a site, with test and revision from its address."""
    found = OF_A_TEST.match(path)
    number = found["revision"] if found is not None else None
    return Fault(
        found["test"] if found is not None else "",
        int(number) if number is not None else None,
        path,
        manifest.commit,
        what,
        REBUILD,
    )


def manifest_faults(site: Path, manifest: Manifest) -> dict[str, Fault]:
    """Return the files that differ from the manifest, are missing or are extra."""
    there = dict(files_with_digests(site))
    faults = {}
    for path in sorted({*there, *manifest.files} - {NAME}):
        if path not in there:
            what = "missing: the manifest lists it"
        elif path not in manifest.files:
            what = "not listed in the manifest"
        elif there[path] != manifest.files[path]:
            what = "differs from the manifest"
        else:
            continue
        faults[path] = site_fault(manifest, path, what)
    return faults


def files_with_digests(site: Path) -> Iterator[tuple[str, str]]:
    """Yield every file of a site with its digest, or that it is a link."""
    for folder, below, names in os.walk(site):
        for name in sorted([*names, *below]):
            path = Path(folder, name)
            address = path.relative_to(site).as_posix()
            if path.is_symlink():
                yield address, "a symbolic link"
            elif path.is_file():
                yield address, digest(path.read_bytes())
            elif name in names:
                yield address, "a pipe, a socket or a device"


def unknown_state_fault(manifest: Manifest, history: History) -> Fault | None:
    """Return the fault of a site built from what is in no commit of this history."""
    if manifest.content.get("records_differ_from_commit"):
        what = "built from uncommitted records"
    elif not manifest.commit:
        what = "built without git: it names no commit"
    elif manifest.commit not in history.by_id:
        what = "built from a commit that is not in this history"
    else:
        return None
    return site_fault(manifest, NAME, what)


def refuse_other_program(manifest: Manifest) -> None:
    """Refuse to rebuild a site of another version, code or lock."""
    ours, theirs = software.software(), manifest.content["software"]
    lock = f"sha256:{software.lock_digest()}"
    if theirs != ours or manifest.content["lock"] != lock:
        raise EnvironmentFault(
            f"The site was built by {theirs.get('name')} {theirs.get('version')} "
            f"(fingerprint {theirs['fingerprint']}, lock {manifest.content['lock']}); "
            f"this is {ours['version']} (fingerprint {ours['fingerprint']}, lock "
            f"{lock}): it can't be rebuilt here.",
            "Install the version and the lock named in the manifest, and verify with "
            "them.",
        )


def rebuild_faults(
    root: Path, site: Path, manifest: Manifest, progress: Progress
) -> dict[str, Fault]:
    """Return the files that differ from a build of the manifest's commit."""
    with tempfile.TemporaryDirectory(prefix="buildsite-") as folder:
        archive = check_out(root, manifest.commit, Path(folder, "archive"))
        out = Path(folder, "site")
        build(archive, out, options_of(manifest), os.cpu_count() or 1, progress)
        rebuilt, there = dict(files_with_digests(out)), dict(files_with_digests(site))
    return {
        path: site_fault(manifest, path, "differs from a rebuild of the site's commit")
        for path in sorted({*rebuilt, *there})
        if rebuilt.get(path) != there.get(path)
    }


def options_of(manifest: Manifest) -> Options:
    """Return the build options of a manifest; refuse unknown ones."""
    known, given = Options().written(), manifest.content["options"]
    previous = manifest.content.get("previous") or ""
    kinds = {name: type(value) for name, value in given.items()}
    if kinds != {name: type(value) for name, value in known.items()} or not (
        isinstance(previous, str)
    ):
        raise unreadable_manifest(manifest.path, "its build options are unknown")
    return Options(**given, previous=previous)


AS_STORED = "* -text -ident !eol !filter !working-tree-encoding\n"
"""Attributes that override those of the archive: files as git holds them."""


def check_out(root: Path, commit: str, folder: Path) -> Path:
    """
    Check a commit out into a clone that shares this one's objects; return its archive.

    No hook runs, and no setting or attribute changes a byte.
    """
    top = git(root, "rev-parse", "--show-toplevel").decode().rstrip("\n")
    prefix = git(root, "rev-parse", "--show-prefix").decode().rstrip("\n")
    git(
        root,
        *("-c", "core.hooksPath=/dev/null", "clone", "--quiet", "--shared"),
        *("--no-checkout", "--template=", "--config", "core.autocrlf=false"),
        *("--config", "core.hooksPath=/dev/null", top, str(folder)),
        protocol="file",
    )
    info = folder / ".git" / "info"
    info.mkdir(exist_ok=True)
    (info / "attributes").write_text(AS_STORED, encoding="utf-8")
    git(folder, "checkout", "--quiet", "--detach", commit)
    return folder / prefix
