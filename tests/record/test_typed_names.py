"""Names as people type them."""

import pytest

from buildsite.record.typed_names import UnknownName, known_name

# Designations of published standards; equipment is invented.
STANDARDS = ("AASHTO T 99", "AASHTO T 180", "ASTM D698", "ASTM D1557", "BS 1377-4")
MOLDS = ("M-02", "M-04", "M-12")
BS_EN = ("standard A", "standard B", "modified A", "modified B")


@pytest.mark.parametrize(
    ("typed", "known", "meant"),
    [
        ("t180", STANDARDS, "AASHTO T 180"),
        ("t 180", STANDARDS, "AASHTO T 180"),
        ("T-180", STANDARDS, "AASHTO T 180"),
        ("aashto t180", STANDARDS, "AASHTO T 180"),
        ("d698", STANDARDS, "ASTM D698"),
        ("D 698", STANDARDS, "ASTM D698"),
        ("1557", STANDARDS, "ASTM D1557"),
        ("bs1377", STANDARDS, "BS 1377-4"),
        ("a", ("A", "B", "C"), "A"),
        ("modified a", BS_EN, "modified A"),
        ("mod b", BS_EN, None),
        ("m04", MOLDS, "M-04"),
        ("m-4", MOLDS, "M-04"),
        ("M 4", MOLDS, "M-04"),
        ("2", MOLDS, "M-02"),
        ("m1", MOLDS, None),
        ("T 18", STANDARDS, None),
        ("a", BS_EN, None),
        ("-", MOLDS, None),
        ("", MOLDS, None),
        ("M-4", ("M-4", "M-04"), "M-4"),
        ("m4", ("M-4", "M-04"), None),
    ],
)
def test_a_name_is_found_or_refused(
    typed: str, known: tuple[str, ...], meant: str | None
) -> None:
    if meant is not None:
        assert known_name(typed, known) == meant
        return
    with pytest.raises(UnknownName):
        known_name(typed, known)


def test_a_number_is_that_of_the_list_where_one_was_shown() -> None:
    assert known_name("3", MOLDS, numbered=True) == "M-12"
    assert known_name("4", MOLDS, numbered=True) == "M-04"
    with pytest.raises(UnknownName, match="M-02, M-04, M-12"):
        known_name("5", MOLDS, numbered=True)


def test_a_number_of_the_list_that_ends_another_name_is_asked_again() -> None:
    with pytest.raises(UnknownName, match="'2' may be any of: M-04, M-02"):
        known_name("2", MOLDS, numbered=True)
