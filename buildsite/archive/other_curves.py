"""Which curves may be laid over another test's: those that stand, of one soil."""

from buildsite.archive.archive import Archive


def soil_class(archive: Archive, sample: str) -> str:
    """Return the soil class that the record of a sample states; blank for none."""
    file = archive.find("sample", sample)
    soil = getattr(archive.entry(file).record, "soil", None) if file else None
    return getattr(soil, "class_", None) or ""


def stands(archive: Archive, file: str) -> bool:
    """Whether a test has results that may be used: issued, else complete and sound."""
    issued, _ = archive.chain(file)
    if issued is not None and issued.items:
        last = issued.items[-1]
        return last.kind != "withdrawal" and bool(last.results)
    made = archive.outcome(file)
    if made is None or made.blocked:
        return False
    return made.status == "complete" and bool(made.results)
