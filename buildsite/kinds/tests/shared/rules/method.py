"""Checks of the standard of a test, and of its edition."""

from collections.abc import Iterable, Iterator
from typing import Any

from buildsite.kinds.kind import Case
from buildsite.kinds.shared_rules import METHOD_NAMED, standard_rules
from buildsite.kinds.tests.shared.record import AnyTest, standard_followed, tested_on
from buildsite.record.flags import Doubt, Field, Rule, note, warning
from buildsite.record.parts import StandardUsed
from buildsite.standards.cells import status_text
from buildsite.standards.tables import standard


def standard_named(case: Case[Any, Any]) -> Iterable[tuple[Field, StandardUsed]]:
    """Return the standard of a test."""
    used = standard_followed(case.record)
    return ((("standard",), used),) if used is not None else ()


@note("edition-missing", METHOD_NAMED)
def edition_missing(case: AnyTest) -> Iterator[Doubt]:
    """The standard is named without its edition."""
    used = standard_followed(case.record)
    if used is not None and used.edition is None:
        yield Doubt(
            field=("standard", "edition"),
            found=f"{used.designation} without an edition",
            expected="the edition that the test followed",
            mend="enter it as printed on the standard, such as 22 or 12(2021)",
        )


@note("unknown-edition", METHOD_NAMED)
def unknown_edition(case: AnyTest) -> Iterator[Doubt]:
    """The edition is not on file."""
    used = standard_followed(case.record)
    known = standard(used.designation) if used is not None else None
    if (
        used
        and known is not None
        and used.edition
        and known.edition(used.edition) is None
    ):
        editions = ", ".join(one.edition for one in known.editions)
        yield Doubt(
            field=("standard", "edition"),
            found=used.edition,
            expected=f"an edition of {known.designation} on file: {editions}",
            mend="check the edition; a newer one is checked by the rows on file",
        )


@warning(
    "edition-superseded",
    "ISO/IEC 17025:2017, 7.2.1.3: the latest valid version of a method",
)
def edition_superseded(case: AnyTest) -> Iterator[Doubt]:
    """The edition was superseded before the year of the test."""
    used, day = standard_followed(case.record), tested_on(case.record)
    known = standard(used.designation) if used is not None else None
    if used is None or known is None or not used.edition or day is None:
        return
    # An edition of the test's own year may have come out after the test.
    newer = known.is_superseded(used.edition, day.year - 1)
    if newer is not None:
        status = status_text(newer.status)
        yield Doubt(
            field=("standard", "edition"),
            found=f"{used.edition} in {day.year}",
            expected=f"{newer.edition}, of {newer.year}",
            mend="follow the edition in force, or accept this flag, citing the "
            "specification that requires the older one",
            basis=f"{known.designation}: list of editions ({status})",
        )


@warning("edition-after-test", METHOD_NAMED)
def edition_after_test(case: AnyTest) -> Iterator[Doubt]:
    """The edition was published after the test."""
    used, day = standard_followed(case.record), tested_on(case.record)
    known = standard(used.designation) if used is not None else None
    edition = known.edition(used.edition) if used and known and used.edition else None
    if edition is not None and day is not None and edition.year > day.year:
        yield Doubt(
            field=("standard", "edition"),
            found=f"{edition.edition}, of {edition.year}",
            expected=f"an edition of {day.year}, the year of the test, or before",
            mend="correct the edition, or the date of the test",
        )


def rules_of(test: str) -> tuple[Rule[AnyTest], ...]:
    """Return these checks for a kind; `test`: the test of its standards."""
    return (*standard_rules(standard_named, test), *EDITIONS)


EDITIONS: tuple[Rule[AnyTest], ...] = (
    edition_missing,
    unknown_edition,
    edition_superseded,
    edition_after_test,
)
