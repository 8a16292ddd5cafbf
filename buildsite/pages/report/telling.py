"""What others are told of a report in a line: a link's preview, a citation."""

from collections.abc import Iterator

from buildsite.pages.page import Site
from buildsite.pages.report.parts import folder
from buildsite.pages.rows import Row

NOT_SAID = ("", "none")
"""Methods of a standard that has only one."""


def standard_of(row: Row) -> str:
    """Return standard and method: AASHTO T 99 A."""
    return " ".join(part for part in (row.standard, row.method) if part not in NOT_SAID)


def main_results(row: Row) -> Iterator[str]:
    """Return the results that field tests are judged by, else all, with their terms."""
    words = dict(row.words)
    for name, text in row.results:
        if name in row.governing or not row.governing:
            term = words.get(name, name)
            yield f"{term[:1].lower()}{term[1:]} {text}"


def description_of(row: Row) -> str:
    """Return a report in a sentence or two, for the preview of a link."""
    number = "" if row.revision is None else f" r{row.revision}"
    gone = "withdrawn, do not use the result" if row.withdrawn else ""
    about = gone or ", ".join(main_results(row)) or row.title.lower()
    soil = f"{row.soil_name} ({row.soil_class})" if row.soil_class else row.soil_name
    of = ", ".join(filter(None, (soil, standard_of(row), row.project)))
    issued = f"Issued {row.issued_on}" if row.issued_on else "Not issued: preliminary"
    told = (f"{row.id}{number}: {about}", of[:1].upper() + of[1:], issued)
    return ". ".join(filter(None, told)) + "."


def citation_of(site: Site, row: Row) -> str:
    """Return how to cite a report; blank for one that was not issued."""
    if row.revision is None:
        return ""
    address = site.address(f"{folder(row.file)}/r{row.revision}/")
    number = f"{row.id} r{row.revision}"
    parts = (number, standard_of(row), f"issued {row.issued_on}", address)
    return f"{site.name}: {', '.join(filter(None, parts))}"
