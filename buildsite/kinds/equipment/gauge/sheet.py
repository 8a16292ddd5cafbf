"""The page of a nuclear gauge. It stays in the laboratory."""

from collections.abc import Iterator

from buildsite.kinds.bench_spec import LOCAL_RULES
from buildsite.kinds.equipment.calibrations import calibration_rows, out_of_use
from buildsite.kinds.equipment.gauge.checks import Counted
from buildsite.kinds.equipment.gauge.counts import COUNTS, Judged, limit_of
from buildsite.kinds.equipment.gauge.model import Gauge
from buildsite.kinds.sheet import Cell, Column, Note, Row, Sheet, Table, fact_table
from buildsite.record.flags import Flag
from buildsite.record.units import unit

CAUTIONS = (
    "Sealed radioactive sources: only those whom the licence names work with the "
    "gauge, trained and with their dosimeters. Keep others away while it measures.",
    "Never leave it unattended or the rod down. Store it locked and away from people; "
    "carry it secured, in its case, with its papers.",
    "Dropped, run over, lost or leaking: keep everybody away and call the radiation "
    "safety officer. The licence and that officer come before this page.",
)


def about(record: Gauge) -> Table:
    """Return what the record says of the gauge itself."""
    limits = [f"{name} {limit_of(record, name).words}" for name in COUNTS]
    since = record.service[-1] if record.service else None
    away = (
        f"since {since.on}: {since.reason}"
        if since is not None and since.state == "out"
        else ""
    )
    facts = (
        ("Serial number", record.serial or ""),
        ("Licence", record.licence or ""),
        ("Standard counts within", ", ".join(limits)),
        ("Out of service", out_of_use(record) or away),
        ("Remarks", record.remarks or ""),
    )
    return fact_table("about", "About", facts)


def calibrations(record: Gauge) -> Table:
    """Return the calibrations, with the blocks read."""
    shown = unit(record.units.density).shown
    cells = [
        (
            Cell(
                "; ".join(f"{each.measured} on {each.known}" for each in one.checks)
                or "—"
            ),
        )
        for one in record.calibrations
    ]
    heads = (Column("Read on blocks", shown),)
    columns, rows = calibration_rows(record.calibrations, heads, cells)
    return Table("calibrations", "Calibrations", columns, rows, role="more")


def leak_tests(record: Gauge) -> Table:
    """Return the leak tests."""
    cells = [(Cell(one.result or "—"),) for one in record.leak_tests]
    columns, rows = calibration_rows(record.leak_tests, (Column("Result"),), cells)
    return Table("leak-tests", "Leak tests", columns, rows, role="more")


def verdict(one: Judged) -> str:
    """Return how a set of counts was judged."""
    if not one.off:
        return "too few before it"
    return "within" if one.is_good else "outside"


def counts(found: tuple[Judged, ...]) -> Table:
    """Return the standard counts, the latest first."""
    rows = []
    for one in reversed(found):
        off = [f"{each:+.2f}" for each in one.off] or ["—", "—"]
        texts = (
            one.counts.on.isoformat() + (" (repeated)" if one.repeated else ""),
            one.counts.by or "—",
            str(one.counts.density),
            off[0],
            str(one.counts.water),
            off[1],
            verdict(one),
        )
        rows.append(Row(tuple(map(Cell, texts))))
    heads = (
        *(Column(label) for label in ("On", "By")),
        Column("Density count", number=True),
        Column("Density off the mean", "%", number=True),
        Column("Water count", number=True),
        Column("Water off the mean", "%", number=True),
        Column("Verdict"),
    )
    return Table("counts", "Standard counts", heads, tuple(rows), role="more")


def service(record: Gauge) -> Table:
    """Return when the gauge was taken out of service, and put back."""
    rows = tuple(
        Row(tuple(map(Cell, (str(one.on), one.by or "—", one.state, one.reason))))
        for one in record.service
    )
    heads = tuple(map(Column, ("On", "By", "Out or back", "Reason")))
    return Table("service", "Out of service and back", heads, rows, role="more")


def blocks(case: Counted) -> Iterator[Table | Note]:
    """Yield the blocks of the page; those without a line are left out."""
    record = case.record
    tables = (
        about(record),
        calibrations(record),
        leak_tests(record),
        counts(case.values),
        service(record),
    )
    yield from (one for one in tables if one.rows or one.name == "calibrations")
    yield Note("cautions", "Cautions", (*CAUTIONS, LOCAL_RULES), role="caution")


def sheet(case: Counted, flags: tuple[Flag, ...]) -> Sheet:
    """Return the sheet of a gauge."""
    record = case.record
    title = f"Nuclear gauge {record.id}"
    return Sheet(title, record.name or "", tuple(blocks(case)))
