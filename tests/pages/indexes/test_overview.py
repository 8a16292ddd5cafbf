"""The competence table: the laboratory's own, without addresses or keys."""

import pytest

from buildsite.pages.site_sources import Options
from tests.archives import archive_of, changed, sound
from tests.pages.builds import made

STAFF = "staff/index.html"
TEST = "marsh-lane/tests/ML-101.yaml"

# ISO/IEC 17025:2017, 6.2.5 and 6.2.6 (from memory): a laboratory keeps records of who
# is authorized for what; it says nothing of showing them to others.


def page(changes: dict[str, list[list[str]]] | None = None) -> str:
    files = changed(changes) if changes else sound()
    return made(files)[STAFF].decode()


def test_each_person_has_roles_authority_and_days() -> None:
    text = page(
        {
            "lab.yaml": [
                [
                    "T07: {roles: [technician], may: [test], from: 2024-03-01}",
                    "T07: {roles: [technician], may: [test], from: 2024-03-01, "
                    "until: 2026-08-31, emails: [t07@lab.example], "
                    'keys: ["ssh-ed25519 AAAA"]}',
                ]
            ]
        }
    )

    for word in ("T07", "technician", "test", "2024-03-01", "2026-08-31"):
        assert word in text
    assert "lab.example" not in text
    assert "ssh-" not in text


def test_names_have_a_column_only_where_somebody_has_one() -> None:
    plain = "T07: {roles: [technician]"
    named = page(
        {"lab.yaml": [[plain, "T07: {name: Sam (invented), roles: [technician]"]]}
    )

    assert "Sam (invented)" in named
    assert ">Name</th>" in named
    assert ">Name</th>" not in page()


def test_the_first_page_leads_to_it() -> None:
    assert 'href="staff/index.html"' in made(sound())["index.html"].decode()


def test_clients_see_neither_page_nor_link() -> None:
    site = made(sound(), Options(release=True))

    assert STAFF not in site
    assert not [path for path, data in site.items() if b"staff/" in data]


def test_acts_without_authority_stand_below() -> None:
    left = "T07: {roles: [technician], may: [test], from: 2024-03-01"
    before = {"lab.yaml": [[left + "}", left + ", until: 2026-03-09}"]]}

    assert "Acts without authorization" in page(before)
    assert "Acts without authorization" not in page()


LAB = "records/lab.yaml"


@pytest.mark.parametrize(
    "field",
    [
        ("prepared", "by"),
        ("compacted", "by"),
        ("dried", "by"),
        ("entered", "by"),
        ("entered", "checked_by"),
        ("reviewed", "by"),
    ],
)
def test_every_act_of_one_who_had_left_is_a_flag(field: tuple[str, str]) -> None:
    files = dict(sound())
    test = f"records/{TEST}"
    record = archive_of(files).entry(test).record
    code = getattr(getattr(record, field[0]), field[1])
    # Whoever did it left long before: that act, whatever else they did, is flagged.
    lab = files[LAB].decode()
    line = next(row for row in lab.splitlines() if row.strip().startswith(f"{code}:"))
    files[LAB] = lab.replace(line, line[:-1] + ", until: 2025-01-01}").encode()

    flags = archive_of(files).flags(test)

    assert field in [flag.field for flag in flags if flag.flag == "no-authority"]


@pytest.mark.parametrize("release", [False, True])
def test_the_first_page_can_be_searched_by_eye(*, release: bool) -> None:
    text = made(sound(), Options(release=release))["index.html"].decode()

    head = text[: text.index("<h2")]
    assert '<a href="tests/index.html">All tests</a>' in head
    assert '<a href="search/index.html">Index from A to Z</a>' in head
