"""The label of a sample, to print and stick on each bag."""

from collections.abc import Iterator
from typing import Any

from buildsite.kinds.kind import Case
from buildsite.kinds.outcome import Outcome
from buildsite.pages.page import INVENTED, Site
from buildsite.pages.render import policy_of, render, template_file
from buildsite.values import dataclass

CAUTIONS = (
    "Keep sealed until tested. Heavy: lift with two people. Don't breathe the dust."
)
"""Where samples are stored and opened: common practice."""


@dataclass(frozen=True)
class Label:
    """Everything on the label."""

    id: str
    facts: tuple[tuple[str, str], ...]
    laboratory: str
    robots: str
    notice: str
    cautions: str
    style: str
    policy: str
    template: str = "label.html"


def label(site: Site, made: Outcome) -> bytes:
    """Return the label of a sample."""
    lab, style = site.lab, template_file("label.css").decode()
    return render(
        Label(
            id=made.id,
            facts=tuple((name, text) for name, text in facts(made.case) if text),
            laboratory=site.name,
            robots=(lab.robots or "") if lab is not None else "",
            notice=INVENTED if lab is not None and lab.invented else "",
            cautions=CAUTIONS,
            style=style,
            policy=policy_of(style),
        )
    )


def facts(case: Case[Any, Any]) -> Iterator[tuple[str, str]]:
    """Yield what the label says of a sample: name and text, blank where not known."""
    sample = case.record
    received, sampled, soil = sample.received, sample.sampled, sample.soil
    yield "Project", sample.project
    yield "Received", joined(getattr(received, "on", None), getattr(received, "by", ""))
    yield "Sampled", joined(getattr(sampled, "on", None), getattr(sampled, "by", ""))
    place, located = getattr(sampled, "place", ""), sample.location
    yield "Place", joined(place, getattr(located, "id", ""))
    yield "Soil", joined(getattr(soil, "name", ""), getattr(soil, "class_", ""))
    yield "Keep until", joined(sample.retained_until)


def joined(*parts: object) -> str:
    """
    Return what is known of some parts.

    >>> joined("2026-03-09", None, "T07")
    '2026-03-09, T07'
    """
    return ", ".join(str(part) for part in parts if part)
