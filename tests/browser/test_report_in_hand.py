"""A report in hand: what the page says of a file, a code and a stranger."""

import json
import shutil
from base64 import b64encode
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, expect

from tests.browser.eyes import Visit, visit

# FIPS 180-4 has no examples in it; these are the ones that NIST publishes beside it
# ("Examples with Intermediate Values", SHA-256), and of its predecessor FIPS 180-2,
# appendix B.1 to B.3 (a million times the letter a).
EXAMPLES = [
    ("'abc'", "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"),
    (
        "'abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq'",
        "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1",
    ),
    (
        "'a'.repeat(1000000)",
        "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0",
    ),
]
LETTERS = "sha256(new TextEncoder().encode({}))"


@dataclass(frozen=True)
class Kept:
    """A kept report of the demo, with its digests from the manifest and its item."""

    number: str
    file: Path
    content: str
    about: dict[str, Any]


@pytest.fixture(scope="module")
def reports(site: Path) -> list[Kept]:
    text = (site / "report-in-hand/data.js").read_text("utf-8")
    data = json.loads(text.partition("(")[2].rpartition(")")[0])
    found = []
    for key, what in data["keys"].items():
        kind, _, number = what.partition(" ")
        if kind == "code":
            file = site.joinpath("tests", *number.split(), "report.html")
            found.append(Kept(number, file, key, data["reports"][number]))
    return sorted(found, key=lambda one: one.number)


@pytest.fixture(scope="module")
def replaced(reports: list[Kept]) -> Kept:
    return next(one for one in reports if "Replaced by" in one.about["state"])


@pytest.fixture(scope="module")
def latest(reports: list[Kept]) -> Kept:
    return next(one for one in reports if one.about["tone"] == "good")


@contextmanager
def in_hand(browser: Browser, site: Path) -> Iterator[Visit]:
    path = site / "report-in-hand/index.html"
    with visit(browser, path, home=site) as seen:
        yield seen
        assert (seen.complaints, seen.foreign) == ([], [])


def answer(seen: Visit) -> str:
    told = seen.page.get_by_role("status").filter(has_text=" ").first
    told.wait_for()
    return " ".join(told.inner_text().split())


def of_file(seen: Visit, file: Path) -> str:
    seen.page.set_input_files("#hand-file", file)
    return answer(seen)


def of_text(seen: Visit, text: str) -> str:
    """By the keyboard alone."""
    seen.page.focus("#hand-code")
    seen.page.keyboard.type(text)
    seen.page.keyboard.press("Enter")
    return answer(seen)


@pytest.mark.parametrize(("letters", "digest"), EXAMPLES)
def test_digests_are_those_of_the_standard(
    browser: Browser, site: Path, letters: str, digest: str
) -> None:
    with in_hand(browser, site) as seen:
        assert seen.page.evaluate(LETTERS.format(letters)) == digest


def test_digests_of_every_length_of_padding(browser: Browser, site: Path) -> None:
    lengths = [*range(54, 66), 119, 120, 128]
    ask = "lengths => lengths.map(n => sha256(new Uint8Array(n).fill(97)))"
    with in_hand(browser, site) as seen:
        found = seen.page.evaluate(ask, lengths)

    assert found == [sha256(b"a" * n).hexdigest() for n in lengths]


def test_a_replaced_report_is_told_with_the_reason(
    browser: Browser, site: Path, replaced: Kept
) -> None:
    with in_hand(browser, site) as seen:
        told = of_file(seen, replaced.file)
        link = seen.page.get_by_role("link", name=f"{replaced.number} as issued")
        href = link.get_attribute("href")

    assert told.startswith("Replaced by r1 of ")
    assert "Do not use it." in told
    assert f"{replaced.number}, report of " in told
    assert "as issued and unchanged" in told
    assert "Reason: " in told
    assert href is not None
    assert (site / "report-in-hand" / href).resolve().is_file()


def test_the_latest_report_is_told_as_such(
    browser: Browser, site: Path, latest: Kept
) -> None:
    path = site / "report-in-hand/index.html"
    with visit(browser, path, home=site, width=390) as seen:  # axe asks for styles
        told = of_file(seen, latest.file)
        assert seen.violations() == []
        assert seen.sideways() == 0

    assert told.startswith("This is the latest report of this test.")
    assert "as issued and unchanged" in told


def test_an_altered_report_is_not_as_issued(
    browser: Browser, site: Path, latest: Kept, tmp_path: Path
) -> None:
    altered = tmp_path / "report.html"
    altered.write_bytes(latest.file.read_bytes() + b"\n")
    with in_hand(browser, site) as seen:
        told = of_file(seen, altered)

    assert told.startswith("Not as issued: do not rely on report.html.")
    assert f"It prints the code of {latest.number}" in told
    assert "unchanged" not in told
    assert sha256(altered.read_bytes()).hexdigest() in told


@pytest.fixture(scope="module")
def papers(site: Path) -> list[Path]:
    """Every PDF of the demo, kept beside its report."""
    return sorted(site.glob("tests/*/r*/report.pdf"))


def test_a_pdf_is_told_unchanged_and_one_changed_byte_is_seen(
    browser: Browser, site: Path, papers: list[Path], tmp_path: Path
) -> None:
    altered = tmp_path / "report.pdf"
    for path in papers:
        test, revision = path.parts[-3:-1]
        data = bytearray(path.read_bytes())
        data[data.index(b" Tf")] += 1  # of the first words on the sheet
        altered.write_bytes(data)
        with in_hand(browser, site) as seen:
            told = of_file(seen, path)
        with in_hand(browser, site) as seen:
            refused = of_file(seen, altered)

        assert f"This file is {test} {revision}, report of " in told
        assert "as issued and unchanged" in told
        assert refused.startswith("Not as issued: do not rely on report.pdf.")
        assert f"It prints the code of {test} {revision}" in refused
        assert "unchanged" not in refused
    assert papers


def test_a_stranger_is_no_report_of_ours(
    browser: Browser, site: Path, tmp_path: Path
) -> None:
    other = tmp_path / "other.pdf"
    other.write_bytes(b"%PDF-1.7\nof somebody else")
    with in_hand(browser, site) as seen:
        told = of_file(seen, other)

    assert told.startswith("other.pdf is no report listed here.")


@pytest.mark.parametrize(
    "write",
    [
        lambda code: code[:8],
        lambda code: f"{code[:4]} {code[4:8]} {code[8:12]}",
        lambda code: f"{code[:4]}-{code[4:8]}-{code[8:12]}".upper(),
        lambda code: f"sha256:{code}",
    ],
)
def test_a_code_is_taken_as_people_write_it(
    browser: Browser, site: Path, replaced: Kept, write: Any
) -> None:
    with in_hand(browser, site) as seen:
        told = of_text(seen, write(replaced.content))

    assert told.startswith("Replaced by r1 of ")
    assert f"The code is that of {replaced.number}, report of " in told
    for _, text in replaced.about["results"]:  # to compare the print with
        assert text in told


def test_the_digest_of_a_file_is_taken_only_whole(
    browser: Browser, site: Path, latest: Kept
) -> None:
    # A file whose digest begins with 8 given digits is found in minutes: 2³² trials.
    digest = sha256(latest.file.read_bytes()).hexdigest()
    for text, found in ((digest[:8], False), (digest[:63], False), (digest, True)):
        with in_hand(browser, site) as seen:
            assert ("unchanged" in of_text(seen, text)) is found


def test_a_number_is_found_and_proves_nothing(
    browser: Browser, site: Path, replaced: Kept
) -> None:
    with in_hand(browser, site) as seen:
        told = of_text(seen, replaced.number.lower().replace("-", " "))

    assert f"{replaced.number}, report of " in told
    assert "A number proves nothing" in told


def test_too_few_digits_and_an_unknown_code(browser: Browser, site: Path) -> None:
    with in_hand(browser, site) as seen:
        assert of_text(seen, "4f2a 91") == "Enter at least 8 digits of the code."
    with in_hand(browser, site) as seen:
        told = of_text(seen, "0000 0000 0000")
        assert told == "No report listed here has this code, digest or number."


def test_a_dropped_file_is_taken(
    browser: Browser, site: Path, papers: list[Path]
) -> None:
    drop = """text => {
        const data = new DataTransfer();
        const bytes = Uint8Array.from(atob(text), letter => letter.charCodeAt(0));
        data.items.add(new File([bytes], "dropped.pdf"));
        const about = {dataTransfer: data, bubbles: true, cancelable: true};
        return document.body.dispatchEvent(new DragEvent("drop", about));
    }"""
    with in_hand(browser, site) as seen:
        text = b64encode(papers[0].read_bytes()).decode()
        assert seen.page.evaluate(drop, text) is False  # else the browser opens it
        told = answer(seen)

    assert f"This file is {papers[0].parts[-3]} r" in told
    assert "as issued and unchanged" in told


def test_a_code_in_the_address_is_looked_up(
    browser: Browser, site: Path, latest: Kept
) -> None:
    with in_hand(browser, site) as seen:
        seen.page.evaluate(f"location.hash = '{latest.content[:12]}'")
        assert latest.number in answer(seen)


def test_a_list_that_does_not_load_is_told(
    browser: Browser, site: Path, tmp_path: Path
) -> None:
    for name in ("site.js", "style.css", "icon.svg", "report-in-hand/index.html"):
        (tmp_path / name).parent.mkdir(exist_ok=True)
        shutil.copy(site / name, tmp_path / name)
    path = tmp_path / "report-in-hand/index.html"
    with visit(browser, path, home=tmp_path) as seen:
        told = of_text(seen, "0000 0000 0000")

    assert told == "data.js could not be loaded: compare by the list below."
    assert any("data.js" in text for text in seen.complaints)


def test_the_digests_stand_there_without_scripts(
    browser: Browser, site: Path, latest: Kept
) -> None:
    path = site / "report-in-hand/index.html"
    digest = sha256(latest.file.read_bytes()).hexdigest()
    code = " ".join(latest.content[n : n + 4] for n in (0, 4, 8))
    with visit(browser, path, home=site, scripts=False) as seen:
        row = seen.page.get_by_role("row").filter(has_text=digest)
        expect(row).to_contain_text(latest.number)
        expect(row).to_contain_text(code)
        expect(row).to_contain_text("Latest report")
