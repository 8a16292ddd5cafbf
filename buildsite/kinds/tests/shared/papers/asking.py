"""What `new` suggests for a paper: the field tests on file."""

from datetime import date

from buildsite.kinds.blank import ArchiveContext
from buildsite.kinds.field_answers import FieldTestFacts
from buildsite.kinds.field_control.closing import in_time
from buildsite.kinds.tests.shared.papers.record import FIELD_TESTS


def ids_in(text: str) -> list[str]:
    """
    Return ids separated by commas or blanks.

    >>> ids_in("HF-F0001, HF-F0002")
    ['HF-F0001', 'HF-F0002']
    """
    return text.replace(",", " ").split()


def tests_on_file(
    context: ArchiveContext, project: str, on: date | None
) -> list[FieldTestFacts]:
    """Return the field tests of a project, of one day if it is given, in time."""
    found = [
        one
        for one in context.facts(FieldTestFacts, FIELD_TESTS, on)
        if one.project == project and on in (None, one.tested_on)
    ]
    return sorted(found, key=in_time)
