"""Whether a test was made as its method says."""

from collections.abc import Iterator

from buildsite.kinds.answers import DeviceFacts
from buildsite.kinds.sieves import same_sieve
from buildsite.kinds.tests.moisture_density.compute import Test
from buildsite.kinds.tests.shared.completeness import is_complete
from buildsite.record.flags import Doubt, Rule, Severity, note, warning
from buildsite.standards.cells import Cell
from buildsite.standards.tables import Method


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


@warning("layers-unlike-method", "the method's number of layers")
def layers_unlike_method(case: Test) -> Iterator[Doubt]:
    """More or fewer layers than the method has."""
    yield from counted_otherwise(case, "layers")


@warning("blows-unlike-method", "the method's number of blows")
def blows_unlike_method(case: Test) -> Iterator[Doubt]:
    """More or fewer blows on a layer than the method has."""
    yield from counted_otherwise(case, "blows_per_layer")


@warning("sieve-unlike-method", "the method's sieve")
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


@note("preparation-missing", "common practice")
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


@note("compaction-not-stated", "common practice")
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


@note("rammer-operation-missing", "common practice")
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
    layers_unlike_method,
    blows_unlike_method,
    other_sieve,
    compaction_not_stated,
    preparation_missing,
    rammer_operation_missing,
)
