"""What a site consists of."""

import json
from hashlib import sha256

from buildsite.exports.manifest import NAME, Origin, item_digests, manifest
from buildsite.record.canonical import digest
from buildsite.record.issued import appended, closed, whole_digest


def test_the_manifest_says_what_a_site_was_built_from() -> None:
    data = manifest(
        {"b.html": digest(b"b"), "a.html": digest(b"a")},
        Origin(
            commit="c" * 40,
            differs=True,
            software={"name": "buildsite", "version": "1"},
            lock="d" * 64,
            options={"base_url": ""},
            tests={"HF-0117": ("sha256:1", "sha256:0")},
            previous="sha256:2",
        ),
    )

    assert NAME == "manifest.json"
    assert json.loads(data) == {
        "format": 1,
        "commit": "c" * 40,
        "records_differ_from_commit": True,
        "files": {
            "a.html": "sha256:" + sha256(b"a").hexdigest(),
            "b.html": "sha256:" + sha256(b"b").hexdigest(),
        },
        "software": {"name": "buildsite", "version": "1"},
        "lock": "sha256:" + "d" * 64,
        "options": {"base_url": ""},
        "tests": {"HF-0117": ["sha256:1", "sha256:0"]},
        "previous": "sha256:2",
    }
    assert data.index(b"a.html") < data.index(b"b.html")


def test_where_there_is_no_git_there_is_no_commit() -> None:
    data = manifest({}, Origin(None, False, {}, "", {}, {}, None))

    assert json.loads(data)["commit"] is None
    assert json.loads(data)["previous"] is None


def test_the_digests_of_a_test_are_those_of_its_whole_items_in_order() -> None:
    sum = digest(b"x")
    first = closed(item("0", sum), None)
    second = closed(item("1", sum), first)
    data = appended(appended(None, "T-1", first), "T-1", second)

    assert item_digests({"records/p/tests/T-1.issued.yaml": data}) == {
        "T-1": [whole_digest(first), whole_digest(second)]
    }
    assert item_digests({"records/p/tests/T-1.issued.yaml": data[:-9]}) == {}


def item(revision: str, sum: str) -> dict[str, object]:
    return {
        "revision": revision,
        "kind": "report",
        "issued_on": "2026-03-13",
        "authorized_by": "E02",
        "reason": "first",
        "used": sum,
        "software": {"name": "buildsite", "version": "1", "fingerprint": "f"},
    }
