"""Suggestions for a new one-point: its family, and how that was compacted."""

from collections.abc import Mapping

from buildsite.kinds.blank import ArchiveContext
from buildsite.kinds.tests.moisture_density.suggest import suggest as of_full_test
from buildsite.kinds.tests.shared.blank import method_of

EFFORTS = {"T 99": "AASHTO T 99", "T 180": "AASHTO T 180"}


def suggest(context: ArchiveContext) -> Mapping[str, str]:
    """Suggest equipment and counts as for a full test of the effort."""
    effort = context.answers.get("effort") or "T 99"
    letter = context.answers.get("method") or "A"
    own = method_of(context)
    answers = {
        **context.answers,
        "standard": EFFORTS.get(effort, effort),
        "method": letter,
        "edition": "",
    }
    full = of_full_test(ArchiveContext(answers, context.facts, lambda word: ()))
    found = {
        name: text for name, text in full.items() if name not in ("edition", "method")
    }
    return {**found, "edition": own.get("edition", ""), "water_by": "oven"}
