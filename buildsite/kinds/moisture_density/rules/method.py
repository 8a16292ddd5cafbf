"""Whether a test names its method, and was made as that says."""

from collections.abc import Iterable, Iterator
from typing import Any

from buildsite.kinds.answers import DeviceFacts
from buildsite.kinds.kind import Case
from buildsite.kinds.moisture_density.case import Test
from buildsite.kinds.moisture_density.rules.answered import is_complete
from buildsite.kinds.named_standard import METHOD_NAMED, rules_of
from buildsite.kinds.sieves import same_sieve
from buildsite.record.flags import Doubt, Field, Rule, Severity
from buildsite.record.parts import StandardUsed
from buildsite.standards.cells import Cell
from buildsite.standards.tables import Method, standard


def named(case: Case[Any, Any]) -> Iterable[tuple[Field, StandardUsed]]:
    """The standard of a test."""
    return ((("standard",), case.record.standard),)


def edition_missing(case: Test) -> Iterator[Doubt]:
    """A standard named without its edition."""
    used = case.record.standard
    if used.edition is None:
        yield Doubt(
            field=("standard", "edition"),
            found=f"{used.designation} without an edition",
            expected="the edition that the test was made by",
            mend="write it as the standard prints it, such as 22 or 12(2021)",
        )


def unknown_edition(case: Test) -> Iterator[Doubt]:
    """An edition that the program does not know."""
    used = case.record.standard
    known = standard(used.designation)
    if known is not None and used.edition and known.edition(used.edition) is None:
        editions = ", ".join(one.edition for one in known.editions)
        yield Doubt(
            field=("standard", "edition"),
            found=used.edition,
            expected=f"an edition of {known.designation} known here: {editions}",
            mend="look for a slip; a newer edition than these is judged by their rows",
        )


def edition_superseded(case: Test) -> Iterator[Doubt]:
    """An edition that another had replaced before the year of the test."""
    used, day = case.record.standard, case.record.compacted.on
    known = standard(used.designation)
    if known is None or not used.edition or day is None:
        return
    # An edition of the test's own year may have come out after the test.
    newer = known.is_superseded(used.edition, day.year - 1)
    if newer is not None:
        yield Doubt(
            field=("standard", "edition"),
            found=f"{used.edition} in {day.year}",
            expected=f"{newer.edition}, of {newer.year}",
            mend="follow the edition in force, or accept this with the specification "
            "that asks for the older one",
            basis=f"{known.designation}: list of editions ({newer.status})",
        )


def edition_after_test(case: Test) -> Iterator[Doubt]:
    """An edition that came out after the test was made."""
    used, day = case.record.standard, case.record.compacted.on
    known = standard(used.designation)
    edition = known.edition(used.edition) if known and used.edition else None
    if edition is not None and day is not None and edition.year > day.year:
        yield Doubt(
            field=("standard", "edition"),
            found=f"{edition.edition}, of {edition.year}",
            expected=f"an edition of {day.year}, the year of the test, or before",
            mend="correct the edition, or the day of compaction",
        )


def counted_otherwise(case: Test, name: str) -> Iterator[Doubt]:
    """Doubt a count of the record that is not the method's."""
    counted, method = getattr(case.record, name), case.method
    if counted is None or method is None:
        return
    cell = method.cell(name)
    if counted != int(cell.value):
        yield Doubt(
            field=(name,),
            found=str(counted),
            expected=f"{cell.value} in {method.designation} Method {method.name}",
            mend="look at the bench sheet; if it was done so, state it as a departure",
            basis=cell.basis,
        )


def layers_unlike_method(case: Test) -> Iterator[Doubt]:
    """More or fewer layers than the method has."""
    yield from counted_otherwise(case, "layers")


def blows_unlike_method(case: Test) -> Iterator[Doubt]:
    """More or fewer blows on a layer than the method has."""
    yield from counted_otherwise(case, "blows_per_layer")


def other_sieve(case: Test) -> Iterator[Doubt]:
    """Soil processed through another sieve than the method's."""
    record, method = case.record, case.method
    if method is None:
        return
    cell = method.cell("sieve")
    equipment = record.equipment
    on_hand = equipment.sieve if equipment is not None else None
    device = case.inputs.get(DeviceFacts, on_hand or "", record.compacted.on)
    for field, found in (
        (("processed_through",), record.processed_through or ""),
        (("equipment", "sieve"), device.opening if device is not None else ""),
    ):
        if found and not same_sieve(found, cell.value):
            yield Doubt(
                field=field,
                found=found,
                expected=f"{cell} in {method.designation} Method {method.name}",
                mend="look for the sieve, or for the method's letter",
                basis=cell.basis,
            )


def asked_in_report(method: Method | None, word: str) -> Cell | None:
    """What the standard asks a report to say, by a word in it."""
    items = method.report_items if method is not None else ()
    return next((item for item in items if word in item.value), None)


def preparation_missing(case: Test) -> Iterator[Doubt]:
    """A complete test that does not say whether the soil was prepared moist or dry."""
    if is_complete(case) and case.record.preparation is None:
        cell = asked_in_report(case.method, "preparation")
        yield Doubt(
            field=("preparation",),
            found="nothing",
            expected="moist or dry",
            mend="ask who prepared the soil",
            severity=Severity.WARNING if cell else None,
            basis=cell.basis if cell else None,
        )


def compaction_not_stated(case: Test) -> Iterator[Doubt]:
    """A complete test that does not say its layers, or the blows on each."""
    if not is_complete(case):
        return
    for name, what in (("layers", "layers"), ("blows_per_layer", "blows on each")):
        if getattr(case.record, name) is None:
            yield Doubt(
                field=(name,),
                found="nothing",
                expected=f"the number of {what}, as compacted",
                mend="look at the bench sheet, or ask who compacted the soil: what the "
                "method asks for is not yet what was done",
            )


def rammer_operation_missing(case: Test) -> Iterator[Doubt]:
    """A complete test that does not say how the rammer was worked."""
    rammer = case.record.rammer
    if is_complete(case) and (rammer is None or rammer.operation is None):
        cell = asked_in_report(case.method, "rammer, manual or mechanical")
        yield Doubt(
            field=("rammer", "operation"),
            found="nothing",
            expected="mechanical or manual",
            mend="ask who compacted the soil",
            severity=Severity.WARNING if cell else None,
            basis=cell.basis if cell else None,
        )


RULES: tuple[Rule[Test], ...] = (
    *rules_of(named, "compaction"),
    Rule("edition-missing", Severity.NOTE, METHOD_NAMED, edition_missing),
    Rule("unknown-edition", Severity.NOTE, METHOD_NAMED, unknown_edition),
    Rule(
        "edition-superseded",
        Severity.WARNING,
        "ISO/IEC 17025:2017, 7.2.1.3: the latest valid version of a method",
        edition_superseded,
    ),
    Rule("edition-after-test", Severity.WARNING, METHOD_NAMED, edition_after_test),
    Rule(
        "layers-unlike-method",
        Severity.WARNING,
        "the method's number of layers",
        layers_unlike_method,
    ),
    Rule(
        "blows-unlike-method",
        Severity.WARNING,
        "the method's number of blows",
        blows_unlike_method,
    ),
    Rule(
        "sieve-unlike-method",
        Severity.WARNING,
        "the method's sieve",
        other_sieve,
    ),
    Rule(
        "compaction-not-stated",
        Severity.NOTE,
        "common practice",
        compaction_not_stated,
    ),
    Rule("preparation-missing", Severity.NOTE, "common practice", preparation_missing),
    Rule(
        "rammer-operation-missing",
        Severity.NOTE,
        "common practice",
        rammer_operation_missing,
    ),
)
