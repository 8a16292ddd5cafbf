"""A new laboratory's archive: what each of its files says."""

from collections.abc import Mapping
from pathlib import Path

from buildsite.archive.blanks import quoted
from buildsite.exports.schema import schema_files, schema_line
from buildsite.record.places import LAB
from buildsite.values import dataclass

HERE = Path(__file__).parent

ROLES = {
    "technician": ("test",),
    "engineer": ("test", "review", "authorize"),
    "reviewer": ("review",),
    "manager": ("review", "authorize"),
}
"""What each role may do where nothing else is said: common practice."""


@dataclass(frozen=True)
class Person:
    """One line of the staff list."""

    code: str
    role: str
    email: str = ""


@dataclass(frozen=True)
class NewLaboratory:
    """
    All that a new archive is told.

    `since` is the day from which its people have their authorities; `standards` those
    that it tests by, the usual one first; `density` the unit of reported densities, or
    nothing for the standard's own; `public` whether issued reports may be seen by
    everybody; `source` where pip gets the program; `lock` what it runs on;
    `fingerprint` by which its reports name it.
    """

    name: str
    place: str
    since: str
    staff: tuple[Person, ...]
    standards: tuple[str, ...]
    density: str
    public: bool
    branch: str
    source: str
    lock: bytes
    fingerprint: str
    shards: int = 1  # machines that build the site for clients


def archive_files(lab: NewLaboratory, attributes: str) -> dict[str, bytes]:
    """
    Path and bytes of every file of a new archive.

    Parameters
    ----------
    lab
        What the laboratory said of itself.
    attributes
        The line of `.gitattributes` that gives records to the drivers of git.
    """
    site = "publish.yml" if lab.public else "site.yml"
    named = "public.yaml" if lab.public else "members.yaml"
    if lab.public and lab.shards > 1:
        named = "public-shards.yaml"
    texts = {
        LAB: lab_text(lab),
        "README.md": guide(lab.name, tester_code(lab), public=lab.public),
        ".gitattributes": ATTRIBUTES.format(records=attributes),
        ".gitignore": IGNORED,
        ".github/workflows/check.yml": workflow_text("check.yaml", lab.branch),
        f".github/workflows/{site}": workflow_text(named, lab.branch, lab.shards),
        "program/source.txt": SOURCE + (f"{lab.source}\n" * bool(lab.source)),
        "program/fingerprint.txt": FINGERPRINT + f"{lab.fingerprint}\n",
        "program/install": INSTALL,
    }
    files = {name: text.encode() for name, text in texts.items()}
    return files | schema_files() | {"program/requirements.lock": lab.lock}


def tester_code(lab: NewLaboratory) -> str:
    """Code of somebody who tests, for the examples of the guide."""
    return next((one.code for one in lab.staff if "test" in ROLES[one.role]), "T01")


def guide(name: str, tester: str, *, public: bool) -> str:
    """
    Return the README of a new archive: a laboratory's day, in this program's commands.

    Parameters
    ----------
    name
        Of the laboratory.
    tester
        Staff code of somebody who tests, for the examples.
    public
        Whether issued reports may be seen by everybody.
    """
    day = (HERE / "guide.md").read_text("utf-8")
    seen = (HERE / ("public.md" if public else "members.md")).read_text("utf-8")
    return day.format(name=" ".join(name.split()), tester=tester) + seen


def workflow_text(name: str, branch: str, shards: int = 1) -> str:
    """Return a workflow that goes with a branch, and builds in so many parts."""
    numbers = ", ".join(map(str, range(1, shards + 1)))
    text = (HERE / name).read_text("utf-8").replace("@BRANCH@", branch)
    return text.replace("@SHARDS@", str(shards)).replace("@NUMBERS@", numbers)


def lab_text(lab: NewLaboratory) -> str:
    """Write the laboratory's own record."""
    staff = "".join(f"  {staff_line(one, lab.since)}\n" for one in lab.staff)
    standards = ", ".join(map(quoted, lab.standards))
    density = f" {lab.density}" if lab.density else ""
    return f"""{schema_line(LAB, "laboratory")}
format: 1
kind: laboratory
name: {quoted(lab.name)}
place: {quoted(lab.place)}
# One line for each person. For one who leaves add `until: YYYY-MM-DD`; keep the line.
# may: test, review, authorize. emails: those on the person's commits.
staff:
{staff}procedures:
  standards: [{standards}]   # the usual one first
  report_density:{density}   # blank: each standard's own unit
  curve: auto
  reviewer_may_be_tester: no
  signed_edits: no
  published_branch: {quoted(lab.branch)}
""" + ("" if lab.public else "robots: none\n")


def staff_line(one: Person, since: str) -> str:
    """Write one line of the staff list."""
    may = ", ".join(ROLES[one.role])
    emails = f", emails: [{quoted(one.email)}]" if one.email else ""
    return f"{one.code}: {{roles: [{one.role}], may: [{may}], from: {since}{emails}}}"


ATTRIBUTES = """\
*                      text=auto eol=lf
# `buildsite git-setup` defines the two drivers in each clone.
{records}
# Issued files are kept byte for byte.
records/**/*.html      -text
records/**/*.json      -text
records/**/*.pdf       binary
program/*              text eol=lf
*.whl                  -text
"""

IGNORED = """\
/site/
/.site.beside/
.venv/
.DS_Store
*~
"""

SOURCE = """\
# Where pip gets the program that checks and builds this archive, at one commit:
# everyone builds with the same program, and issued results can be computed again.
#
#   git+https://HOST/OWNER/REPOSITORY@<the 40 digits of a commit>
#
# or a wheel kept next to this file: ./program/buildsite-VERSION-py3-none-any.whl
# If you change this line, put that program's requirements.lock next to it and its
# fingerprint into fingerprint.txt in the same commit, and check the output of
# `buildsite diff`. Publish that commit before you issue with the new program.
"""

FINGERPRINT = """\
# Fingerprint of the program in source.txt. `program/install` compares it, and shows the
# right one. Reports name the program that issued them by it: `buildsite verify` accepts
# a new report only from the program that was named here before.
"""

INSTALL = """\
#!/usr/bin/env bash
# Install the program in source.txt with the exact packages in requirements.lock.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."
if ! grep -q '^[^#]' program/source.txt; then
    echo "program/source.txt does not say where the program comes from." >&2
    echo "Add a line to it, as its comments explain, and commit the file." >&2
    exit 3
fi
python3 -m pip install --require-hashes --only-binary :all: -r program/requirements.lock
python3 -m pip install --no-deps --no-build-isolation -r program/source.txt
is=$(cd / && python3 -c 'from buildsite.software import fingerprint as f; print(f())')
named=$(grep -v '^#' program/fingerprint.txt || true)
if [ "$is" != "$named" ]; then
    echo "The program in source.txt has the fingerprint $is;" >&2
    echo "program/fingerprint.txt names ${named:-none}." >&2
    echo "If you chose this program, write that there and commit it." >&2
    exit 3
fi
"""


def faults_of(files: Mapping[str, bytes]) -> list[str]:
    """Say what is wrong with the records of a new archive, before it is written."""
    from buildsite.archive.archive import Archive

    names = [name for name in files if name == LAB]
    archive = Archive(names, files.__getitem__)
    return [flag.message for flag in archive.flags(LAB)]
