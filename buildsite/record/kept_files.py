"""Why a kept report may not be kept, by the suffix of its file."""

from collections.abc import Callable, Mapping

from buildsite.record import kept_html, kept_pdf

REFUSALS: Mapping[str, Callable[[bytes, str], tuple[str, ...]]] = {
    "html": kept_html.why_refused,
    "pdf": kept_pdf.why_refused,
}
"""Suffix → what a file holds that no kept report may; nothing if it may be kept."""


def why_refused(name: str, data: bytes, address: str = "") -> tuple[str, ...]:
    """
    Return why a file of this name may not be kept; only reports are looked at.

    `address` is where its one link may lead; blank if it may have none.

    >>> why_refused("records/p/tests/A-1.r0.json", b"{}")
    ()
    """
    refusal = REFUSALS.get(name.rpartition(".")[2])
    return refusal(data, address) if refusal is not None else ()
