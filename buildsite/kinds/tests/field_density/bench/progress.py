"""What is known so far, told after each reading."""

from collections.abc import Callable

from buildsite.kinds.bench_spec import Progress
from buildsite.kinds.reporting import readable_text, reported_word
from buildsite.kinds.tests.field_density.compute import Test
from buildsite.kinds.tests.field_density.rules.apparatus import sand_out_of_date

TOLD = (
    "hole_volume",
    "wet_density",
    "water_content",
    "dry_density",
    "percent_compaction",
)


def so_far(case: Test) -> str:
    """Return the results as far as they are known, and whether the test passes."""
    found = [
        f"{reported_word(case.method, name, text)} {readable_text(text)}"
        for name in TOLD
        if name in case.results
        for text in (case.results[name].reported,)
    ]
    verdict = case.values.verdict.verdict
    if "percent_compaction" in case.results and verdict != "none":
        found.append(verdict)
    return "; ".join(found)


def verdict_told(case: Test) -> str:
    """Return the verdict in a line, with why where it is no pass."""
    verdict = case.values.verdict
    if verdict.verdict == "pass":
        return "Meets the requirement."
    begins = "Fails" if verdict.verdict == "fail" else "No verdict"
    return f"{begins}: {verdict.why}."


def sand_told(case: Test) -> str:
    """Return what is wrong with the sand: a bag that was filled in is not asked for."""
    return "; ".join(one.found for one in sand_out_of_date.check(case))


def progress_of(case: Test) -> Callable[[], Progress]:
    """Return the function that tells what is known so far."""

    def progress() -> Progress:
        text = "; ".join(filter(None, (sand_told(case), so_far(case))))
        return Progress(((1, text),) if text else ())

    return progress
