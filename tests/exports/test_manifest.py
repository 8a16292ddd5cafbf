"""What a site consists of."""

import json
from hashlib import sha256

from buildsite.exports.manifest import NAME, digest, manifest


def test_the_manifest_says_what_a_site_was_built_from() -> None:
    data = manifest(
        {"b.html": digest(b"b"), "a.html": digest(b"a")},
        commit="c" * 40,
        differs=True,
        software={"name": "buildsite", "version": "1"},
        lock="d" * 64,
        options={"base_url": ""},
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
    }
    assert data.index(b"a.html") < data.index(b"b.html")


def test_where_there_is_no_git_there_is_no_commit() -> None:
    data = manifest({}, commit=None, differs=False, software={}, lock="", options={})

    assert json.loads(data)["commit"] is None
