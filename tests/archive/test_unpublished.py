"""Names of unpublished projects are found however a person writes them."""

import pytest

from buildsite.archive.unpublished import Unpublished


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("as of ALDER QUAY too", ("Alder Quay",)),
        ("as of Alder Quay too", ("Alder Quay",)),
        ("as AQ\N{EN DASH}S02", ("aq-s02",)),
        ("as AQ\N{NON-BREAKING HYPHEN}S02", ("aq-s02",)),
        ("an alder, a quay, 2\N{EN DASH}5 %", ()),
    ],
)
def test_capitals_and_other_dashes_hide_no_name(
    text: str, found: tuple[str, ...]
) -> None:
    secret = Unpublished({"aq-s02": "q"}, {"Alder Quay": "q"})
    assert secret.told("report.html", text.encode()) == found
