"""The guide to trust: its tests are there, and its digests are those of other tools."""

import ast
import json
import re
import subprocess
import sys
from collections.abc import Iterator
from functools import cache
from hashlib import sha256
from pathlib import Path
from typing import Any

import yaml

from buildsite.archive.states import working_archive
from buildsite.kinds.used import plain
from tests.clones import git
from tests.issuing.clones import TESTS
from tests.verify.tampering import RECORD, published, sound

ROOT = Path(__file__).parents[2]
GUIDE = (ROOT / "docs/trust.md").read_text("utf-8")
NAMED = re.findall(r"`(tests/[a-z_/]+\.py)::(test_\w+)`", GUIDE)


@cache
def functions(path: str) -> set[str]:
    """Names of the tests in a file."""
    tree = ast.parse((ROOT / path).read_bytes())
    return {one.name for one in tree.body if isinstance(one, ast.FunctionDef)}


def test_every_test_that_the_guide_names_is_there() -> None:
    assert len(NAMED) > 100
    assert [one for one in NAMED if one[1] not in functions(one[0])] == []


def claims() -> Iterator[str]:
    """Each point of the lists that say what is proved."""
    part = GUIDE[GUIDE.index("## What each") : GUIDE.index("## Who could cheat")]
    yield from re.findall(r"^- .+$", part, re.M)


def test_every_claim_names_its_test() -> None:
    assert len([*claims()]) > 20
    assert [claim for claim in claims() if "::test_" not in claim] == []


def digest(value: Any) -> str:
    """The digest that the guide describes, by other code than the program's."""
    text = json.dumps(value, ensure_ascii=False, sort_keys=True, separators=(",", ":"))
    return "sha256:" + sha256(text.encode()).hexdigest()


def items(root: Path) -> list[dict[str, Any]]:
    text = (root / TESTS / "ML-101.issued.yaml").read_text("utf-8")
    found: list[dict[str, Any]] = yaml.load(text, yaml.CBaseLoader)["revisions"]  # noqa: S506 — it makes texts alone
    return found


def test_the_code_in_the_guide_confirms_what_was_issued(
    untouched: Path, tmp_path: Path
) -> None:
    [code] = re.findall(r"```python\n(.+?)```", GUIDE, re.S)
    data = (untouched / TESTS / "ML-101.issued.yaml").read_bytes()
    (tmp_path / "HF-0117.issued.yaml").write_bytes(data)

    def ran() -> int:
        words = [sys.executable, "-W", "ignore", "-c", code]
        return subprocess.run(
            words, cwd=tmp_path, capture_output=True, check=False
        ).returncode

    assert ran() == 0
    (tmp_path / "HF-0117.issued.yaml").write_bytes(data.replace(b"108.", b"109.", 1))
    assert ran() == 1


def test_the_manifest_names_whole_items(untouched: Path, tmp_path: Path) -> None:
    told = json.loads(published(untouched, tmp_path).read_bytes())

    assert told["tests"]["ML-101"] == [digest(item) for item in items(untouched)]


def test_files_have_the_digests_that_sha256sum_prints(untouched: Path) -> None:
    item = items(untouched)[-1]
    named = {
        **item["inputs"],
        f"{TESTS}/ML-101.r1.html": item["report"],
        f"{TESTS}/ML-101.r1.json": item["result"],
    }
    done = subprocess.run(
        ["sha256sum", *named], cwd=untouched, capture_output=True, text=True, check=True
    )

    printed = {row[66:]: f"sha256:{row[:64]}" for row in done.stdout.splitlines()}
    assert printed == named


def without_blanks(mapping: dict[str, Any]) -> dict[str, Any]:
    """Leave out what says nothing; the innermost mappings come first."""
    return {
        key: value
        for key, value in mapping.items()
        if value is not None and (isinstance(value, bool | int | float) or len(value))
    }


def test_used_is_the_digest_that_the_guide_describes(untouched: Path) -> None:
    file = f"records/{RECORD}"
    text = (untouched / file).read_text("utf-8")
    record = yaml.load(text, yaml.CBaseLoader)  # noqa: S506 — it makes texts alone
    del record["format"]
    archive = working_archive(untouched)
    asked, _, _ = archive.ask(archive.entry(file))
    answers = {" ".join(key): plain(answer) for key, answer in asked.answers.items()}
    told = json.loads(json.dumps(answers), object_hook=without_blanks)

    assert items(untouched)[-1]["used"] == digest({"answers": told, "record": record})


def test_a_clone_of_a_clone_is_as_good(untouched: Path, tmp_path: Path) -> None:
    before = published(untouched, tmp_path)
    for source, target in ((untouched, "one"), (tmp_path / "one", "two")):
        git(tmp_path, "clone", "--quiet", str(source), str(tmp_path / target))

    assert sound(tmp_path / "two", "--against", before)
