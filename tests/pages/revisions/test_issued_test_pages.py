"""Pages of tests that were issued: what was sent, what is current, what moved."""

import json
from datetime import UTC, datetime
from hashlib import sha256
from pathlib import Path
from posixpath import normpath
from re import sub
from urllib.parse import urljoin
from xml.etree import ElementTree

import pytest

from buildsite.build import build
from buildsite.exports.feed import AUTHORITY
from buildsite.kinds.reporting import readable_text
from buildsite.pages.site_sources import Options
from tests.cli.running import run
from tests.clones import git
from tests.issuing.clones import edit, issued, kept, lab
from tests.links import page_faults, read_site, unreached
from tests.pages.builds import words
from tests.test_build import contents

TEST = "marsh-lane/tests/ML-101.yaml"
FIRST, MENDED = "mold_and_wet_soil: 8.64", "mold_and_wet_soil: 8.60"
ATOM = "{http://www.w3.org/2005/Atom}"


def issue(root: Path, *words: str, on: str, why: str = "first issue") -> None:
    by = ("--authorized-by", "E02", "--reason", why, "--on", on)
    ran = run("issue", *words, *by, "--root", root)
    assert ran.status == 0, ran.err


@pytest.fixture(scope="module")
def root(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """ML-101 issued, amended and moved since; ML-102 issued and withdrawn."""
    root = lab(tmp_path_factory.mktemp("archive"))
    issue(root, "ML-101", "ML-102", "--to", "A customer", on="2026-03-13")
    edit(root, TEST, FIRST, MENDED)
    issue(root, "ML-101", on="2026-03-20", why="Mass of point 3 was misread")
    edit(root, TEST, MENDED, "mold_and_wet_soil: 8.62")
    issue(root, "ML-102", "--withdraw", on="2026-03-21", why="Another sample")
    return root


@pytest.fixture(scope="module")
def site(root: Path, tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    return contents(built(root, tmp_path_factory.mktemp("out") / "site"))


def built(root: Path, out: Path, options: Options | None = None, jobs: int = 1) -> Path:
    build(root, out, options or Options(), jobs)
    return out


def test_kept_files_are_shown_byte_for_byte(root: Path, site: dict[str, bytes]) -> None:
    for revision in (0, 1):
        where = f"tests/ML-101/r{revision}"
        assert site[f"{where}/report.html"] == kept(root, "ML-101", revision)
        assert site[f"{where}/result.json"] == kept(root, "ML-101", revision, "json")
        page = site[f"{where}/index.html"].decode()
        assert '<iframe src="report.html"' in page
        assert '<a href="report.html">' in page
        assert "frame-src 'self'" in page
        assert issued(root, "ML-101").items[revision].content in page


def test_what_stands_in_the_folder_of_a_revision_never_moves(tmp_path: Path) -> None:
    (tmp_path / "archive").mkdir()
    root = lab(tmp_path / "archive")
    issue(root, "ML-101", on="2026-03-13")
    first = contents(built(root, tmp_path / "site"))
    edit(root, TEST, FIRST, MENDED)
    issue(root, "ML-101", on="2026-03-20")
    issue(root, "ML-101", "--withdraw", on="2026-03-21")
    later = contents(built(root, tmp_path / "site"))

    page = "tests/ML-101/r0/index.html"
    old = {path: data for path, data in first.items() if "/r0/" in path}
    kinds = ("report.html", "result.json", "record.yaml")
    assert old.keys() >= {f"tests/ML-101/r0/{name}" for name in (*kinds, "index.html")}
    assert {p: later[p] for p in old if p != page} == {
        p: data for p, data in old.items() if p != page
    }
    assert "This is the latest report of this test." in words(first[page])


def test_the_page_of_a_revision_says_what_became_of_it(
    root: Path, site: dict[str, bytes]
) -> None:
    replaced, current, gone = (
        site[f"tests/{name}/index.html"]
        for name in ("ML-101/r0", "ML-101/r1", "ML-102/r0")
    )

    assert words(replaced).count("Replaced by r1 of 2026-03-20. Do not use it.") == 2
    assert '<a href="../r1/index.html">r1, which replaces it</a>' in up(replaced)
    assert words(gone).count("Withdrawn by r1 of 2026-03-21. Do not use it.") == 2
    assert "Do not use" not in words(current)
    assert "This is the latest report of this test." in words(current)
    old, new = (readable_results(root, "ML-101", number) for number in (0, 1))
    # Who comes by an old link meets the figures that replaced its own before them.
    told = words(replaced.partition(b"Results now, by r1 of 2026-03-20")[2])
    for was, now in zip(old, new, strict=True):
        assert f"{now} r0, replaced: {was}" in told.replace("\u00a0", " ")
    assert replaced.count(b'<div class="is-now"><dt>') == len(old)
    assert b"in-results" not in gone  # no number of it stands out
    lost = readable_results(root, "ML-102", 0)
    assert gone.count(b'<div class="is-gone"><dt>') == len(lost)
    assert b"in-results" in current


def up(page: bytes) -> str:
    """A page with its links as from the folder above its test's."""
    return sub(r"(\.\./)+tests/ML-\d+/", "../", page.decode())


def readable_results(root: Path, test: str, revision: int) -> list[str]:
    """Results as a revision reports them."""
    return [*map(readable_text, issued(root, test).items[revision].results.values())]


def test_the_current_page_says_what_it_amends(
    root: Path, site: dict[str, bytes]
) -> None:
    page = site["tests/ML-101/index.html"]
    above, _, below = page.partition(b"in-results")
    results, _, below = below.partition(b"</dl>")
    why = words(below.partition(b'class="identity"')[0])
    was, now = (readable_results(root, "ML-101", number)[0] for number in (0, 1))

    assert "Amended: revision 1 replaces revision 0." in words(above)
    assert "Do not use revision 0 (issued 2026-03-13)." in why
    assert was != now
    # The current value is met before the old one, and then what it replaces and why.
    assert now in words(results)
    assert was not in words(above + results)
    assert f"{was} → {now}" in why
    assert "Reason: Mass of point 3 was misread." in why
    assert "Amended" not in words(site["tests/ML-102/index.html"])


def test_the_page_of_a_test_shows_what_was_issued_not_what_stands_now(
    root: Path, site: dict[str, bytes]
) -> None:
    page = site["tests/ML-101/index.html"].decode()
    reported = issued(root, "ML-101").items[1].results["maximum_dry_density"]
    now = json.loads(run("show", "ML-101", "--json", "--root", root).out)
    moved = now["results"]["maximum_dry_density"]["reported"]

    assert moved != reported
    results, _, box = page.partition("in-results")[2].partition("</dl>")
    box = box.partition('class="identity"')[0]
    assert reported.partition(" ")[0] in results
    assert moved.partition(" ")[0] not in results
    assert "Changed since issue" in box
    assert "block moved" in box
    assert moved.partition(" ")[0] in box
    assert "8.60" in page.partition("in-pair")[2]
    assert "8.62" not in page.partition("in-pair")[2]
    assert site["tests/ML-101/result.json"] == kept(root, "ML-101", 1, "json")
    assert MENDED.encode() in site["tests/ML-101/record.yaml"]
    assert b"8.62" in site["tests/ML-101/record-now.yaml"]


def test_a_file_that_moved_no_value_raises_no_alarm(tmp_path: Path) -> None:
    (tmp_path / "archive").mkdir()
    root = lab(tmp_path / "archive")
    issue(root, "ML-101", on="2026-03-13")
    colleague = "  T09: {roles: [technician], may: [test], from: 2026-04-01}\n  E02:"
    edit(root, "lab.yaml", "  E02:", colleague)

    page = contents(built(root, tmp_path / "site"))["tests/ML-101/index.html"].decode()

    assert "A file changed since issue" in page
    assert "Changed since issue" not in page
    assert "block moved" not in page


def test_a_test_that_did_not_move_has_no_box(tmp_path: Path) -> None:
    (tmp_path / "archive").mkdir()
    root = lab(tmp_path / "archive")
    issue(root, "ML-101", on="2026-03-13")

    files = contents(built(root, tmp_path / "site"))

    page = files["tests/ML-101/index.html"].decode()
    assert "Issued: revision 0, 2026-03-13." in page
    assert "Changed since issue" not in page
    assert "tests/ML-101/record-now.yaml" not in files
    assert "Preliminary" in files["tests/ML-102/index.html"].decode()


def test_a_withdrawn_test_says_so(site: dict[str, bytes]) -> None:
    page = site["tests/ML-102/index.html"].decode()

    assert "Withdrawn: revision 1, 2026-03-21." in page
    assert "tests/ML-102/r1/result.json" not in site


def test_a_withdrawn_test_shows_no_result_as_if_valid(
    root: Path, site: dict[str, bytes], tmp_path: Path
) -> None:
    edit(
        root,
        "marsh-lane/project.yaml",
        "id: marsh-lane",
        "publish: yes\nid: marsh-lane",
    )
    clients = contents(built(root, tmp_path / "site", Options(release=True)))
    git(root, "reset", "--quiet", "--hard", "HEAD~1")
    reported = [*map(readable_text, issued(root, "ML-102").items[0].results.values())]
    assert len(reported) == 4

    for files in (site, clients):
        page = files["tests/ML-102/index.html"]
        said = words(page)
        assert "withdrawn on 2026-03-21: Another sample. " in said
        assert "Do not use its result" in said
        assert "tests/ML-102/curve.svg" not in files
        assert b"in-results" not in page
        assert [text for text in reported if text in said] == []
        history = words(files["tests/ML-102/history/index.html"])
        assert "Withdrawn by r1 of 2026-03-21. Do not use its results." in history
        changes = words(files["changes/index.html"])
        assert "Report; withdrawn by r1 of 2026-03-21" in changes
    said = words(clients["tests/ML-102/index.html"])
    assert "ML-102 r0 was withdrawn on 2026-03-21" in said
    assert "Do not use the result. Moisture-density test: report ASTM D698" in said


def test_what_a_report_became_is_told(site: dict[str, bytes]) -> None:
    history = words(site["tests/ML-101/history/index.html"])
    own = words(site["tests/ML-101/index.html"])

    assert history.count("Replaced by r1 of 2026-03-20") == 1
    assert own.count("Report; replaced by r1 of 2026-03-20") == 1
    assert "withdrawn" not in own


def test_issues_of_one_day_go_by_their_commits(tmp_path: Path) -> None:
    (tmp_path / "archive").mkdir()
    root = lab(tmp_path / "archive")
    for test in ("ML-102", "ML-101"):
        issue(root, test, on="2026-03-13")
    issue(root, "ML-102", "--withdraw", on="2026-03-13")
    edit(root, TEST, FIRST, MENDED)
    issue(root, "ML-101", on="2026-03-13")
    order = ["ML-101 r1", "ML-102 r1", "ML-101 r0", "ML-102 r0"]

    with_past = contents(built(root, tmp_path / "site"))
    options = Options(without_history=True)
    without = contents(built(root, tmp_path / "other", options))

    def shown(files: dict[str, bytes]) -> list[str]:
        page = files["changes/index.html"].decode()
        return sorted(order, key=lambda name: page.index(f">{name}<"))

    assert shown(with_past) == order
    assert shown(without) == ["ML-101 r1", "ML-101 r0", "ML-102 r1", "ML-102 r0"]


def test_issues_of_one_merged_branch_go_by_their_commits(tmp_path: Path) -> None:
    (tmp_path / "archive").mkdir()
    root = lab(tmp_path / "archive")
    git(root, "checkout", "--quiet", "-b", "spring")
    for test in ("ML-101", "ML-102"):
        issue(root, test, on="2026-03-13")
    git(root, "checkout", "--quiet", "-")
    edit(root, TEST, FIRST, f"{FIRST}  # read twice")
    git(root, "merge", "--quiet", "--no-ff", "--message=Issues", "spring")

    files = contents(built(root, tmp_path / "site"))

    page = files["changes/index.html"].decode()
    home = files["index.html"].decode().partition("Latest issues")[2]
    feed = [one.findtext(f"{ATOM}title", "") for one in entries(files["feed.xml"])]
    assert page.index(">ML-102 r0<") < page.index(">ML-101 r0<")
    assert home.index(">ML-102 r0<") < home.index(">ML-101 r0<")
    assert feed == ["ML-102 r0: Report", "ML-101 r0: Report"]


def test_tests_issued_in_one_commit_and_a_chain_that_moved(tmp_path: Path) -> None:
    (tmp_path / "archive").mkdir()
    root = lab(tmp_path / "archive")
    issue(root, "ML-101", "ML-102", on="2026-03-13")
    issue(root, "ML-102", "--withdraw", on="2026-03-13")
    tests = root / "records/marsh-lane/tests"
    (tests / "fill").mkdir()
    for path in sorted(tests.glob("ML-102.*")):
        git(root, "mv", str(path), str(tests / "fill" / path.name))
    git(root, "commit", "--quiet", "--message=ML-102 belongs to the fill")
    edit(root, TEST, FIRST, MENDED)
    issue(root, "ML-101", on="2026-03-13")

    page = contents(built(root, tmp_path / "site"))["changes/index.html"].decode()

    order = ["ML-101 r1", "ML-102 r1", "ML-101 r0", "ML-102 r0"]
    assert sorted(order, key=lambda name: page.index(f">{name}<")) == order


def test_both_curves_stand_on_one_figure(site: dict[str, bytes]) -> None:
    page = site["tests/ML-101/compare/index.html"].decode()
    figure = site["tests/ML-101/compare/r0-r1.svg"].decode()

    assert 'src="r0-r1.svg"' in page
    assert "r0: peak of" in figure
    assert "r1: peak of" in figure
    for text in ("8.64 lb", "8.60 lb", "−0.04 lb", "Mass of point 3 was misread"):
        assert text in page, text
    assert "tests/ML-102/compare/index.html" not in site


def test_one_change_that_amended_two_tests_is_told_in_both(tmp_path: Path) -> None:
    (tmp_path / "archive").mkdir()
    root = lab(tmp_path / "archive")
    issue(root, "ML-101", "ML-102", on="2026-03-13")
    edit(root, "equipment/B-03.yaml", "kind: balance", "kind: balance  # as before")
    for test in ("ML-101", "ML-102"):
        edit(root, f"marsh-lane/tests/{test}.yaml", "layers: ", "remarks: x\nlayers: ")
    issue(root, "ML-101", "ML-102", on="2026-03-20", why="Another balance")

    files = contents(built(root, tmp_path / "site"))

    page = files["tests/ML-101/compare/index.html"].decode()
    assert '<a href="../../../tests/ML-102/r1/index.html">ML-102 r1</a>' in page
    assert "B-03" in page.partition("Other tests amended")[2]


def test_changes_are_in_order_with_what_moved(site: dict[str, bytes]) -> None:
    page = site["changes/index.html"].decode()
    order = [
        page.index(f">{name}<") for name in ("ML-102 r1", "ML-101 r1", "ML-101 r0")
    ]

    assert order == sorted(order)
    assert "→" in page
    assert "Amendment of r0" in page
    home = site["index.html"].decode()
    assert "Latest issues" in home
    assert "issued r1, changed since" in home
    assert "withdrawn r1" in home


def entries(data: bytes) -> list[ElementTree.Element]:
    """Entries of a feed, after looking for what RFC 4287, 4.1.1 asks of it."""
    feed = ElementTree.fromstring(data)  # noqa: S314 - our own file
    assert feed.tag == f"{ATOM}feed"
    for name in ("id", "title", "updated", "author"):
        assert len(feed.findall(f"{ATOM}{name}")) == 1, name
    found = feed.findall(f"{ATOM}entry")
    for entry in found:  # RFC 4287, 4.1.2
        for name in ("id", "title", "updated", "summary"):
            assert len(entry.findall(f"{ATOM}{name}")) == 1, name
    return found


def test_the_feed_tells_every_issue_and_its_page(
    root: Path, site: dict[str, bytes]
) -> None:
    found = entries(site["feed.xml"])
    ids = [entry.findtext(f"{ATOM}id", "") for entry in found]
    days = [entry.findtext(f"{ATOM}updated", "") for entry in found]
    links = [link.get("href", "") for e in found for link in e.findall(f"{ATOM}link")]

    assert len(found) == 4
    assert len(set(ids)) == 4
    assert all(one.startswith(f"tag:{AUTHORITY}:sha256/") for one in ids)
    assert days == sorted(days, reverse=True)
    # As git tells them, in seconds of Unix time: a reading of its own.
    log = git(root, "log", "--format=%ct", "--", "*.issued.yaml").split()
    told = {datetime.fromtimestamp(int(one), UTC) for one in log}
    assert {datetime.fromisoformat(day) for day in days} == told
    assert all(day.endswith("Z") for day in days)
    assert set(links) <= site.keys()


def test_without_history_a_feed_knows_the_day_alone(root: Path, tmp_path: Path) -> None:
    out = built(root, tmp_path / "site", Options(without_history=True))
    found = entries((out / "feed.xml").read_bytes())

    days = [entry.findtext(f"{ATOM}updated", "") for entry in found]
    assert days == sorted(days, reverse=True)
    assert days[0] == "2026-03-21T00:00:00Z"


def test_a_project_has_a_feed_of_its_own(site: dict[str, bytes]) -> None:
    path = "projects/marsh-lane/feed.xml"
    found = entries(site[path])
    links = [link.get("href", "") for e in found for link in e.findall(f"{ATOM}link")]

    assert {normpath(f"projects/marsh-lane/{link}") for link in links} <= site.keys()
    whole = entries(site["feed.xml"])
    assert len(found) == len(whole) == 4  # the archive has one project
    page = site["projects/marsh-lane/index.html"].decode()
    assert 'href="../../projects/marsh-lane/feed.xml"' in page


def test_a_report_says_how_to_cite_it(root: Path, tmp_path: Path) -> None:
    out = built(root, tmp_path / "site", Options(base_url="https://lab.example/soil/"))

    page = (out / "tests/ML-101/index.html").read_text("utf-8")
    cited = words(page.partition('class="citation">')[2].partition("</p>")[0].encode())
    assert cited.endswith(
        ": ML-101 r1, AASHTO T 99 A, issued 2026-03-20, "
        "https://lab.example/soil/tests/ML-101/r1/"
    )
    assert (
        '<meta property="og:url" content="https://lab.example/soil/tests/ML-101/">'
        in (page)
    )


def test_a_link_to_a_report_is_told_in_a_line(site: dict[str, bytes]) -> None:
    page = site["tests/ML-101/index.html"].decode()
    told = page.partition('<meta name="description" content="')[2].partition('"')[0]
    item = json.loads(site["tests/ML-101/result.json"])["results"]

    for result in item.values():
        assert readable_text(result["reported"]) in told
    assert told.startswith("ML-101 r1: maximum dry density ")
    gone = site["tests/ML-102/index.html"].decode()
    assert "ML-102 r1: withdrawn, do not use the result." in gone
    assert "og:url" not in page  # nobody said where the site stands


def test_the_feed_sets_why_apart_from_what(site: dict[str, bytes]) -> None:
    found = [one.findtext(f"{ATOM}summary", "") for one in entries(site["feed.xml"])]

    assert found[0] == "Result withdrawn. Another sample"
    assert found[1].endswith(" % — Mass of point 3 was misread")


def test_an_entry_keeps_its_id_wherever_the_site_stands(
    root: Path, site: dict[str, bytes], tmp_path: Path
) -> None:
    base = "https://lab.example/tests/"
    out = built(root, tmp_path / "site", Options(base_url=base))
    found = entries((out / "feed.xml").read_bytes())

    ids = [entry.findtext(f"{ATOM}id") for entry in found]
    assert ids == [entry.findtext(f"{ATOM}id") for entry in entries(site["feed.xml"])]
    link = found[0].find(f"{ATOM}link")
    assert link is not None
    assert link.get("href") == urljoin(base, "tests/ML-102/r1/index.html")


def test_every_page_is_reached_and_every_link_leads_somewhere(
    root: Path, tmp_path: Path
) -> None:
    site = built(root, tmp_path / "site")
    pages = read_site(site)

    assert [f for name in pages for f in page_faults(site, pages, name)] == []
    assert unreached(pages) == []


def test_the_same_bytes_at_any_number_of_jobs(
    root: Path,
    site: dict[str, bytes],
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr("buildsite.workers.CHUNK", 1)

    assert contents(built(root, tmp_path / "site", jobs=2)) == site


def test_without_the_past_the_page_shows_what_was_kept(
    root: Path, tmp_path: Path
) -> None:
    options = Options(without_history=True)
    files = contents(built(root, tmp_path / "site", options))

    page = files["tests/ML-101/index.html"].decode()
    assert "Built without history" in page
    assert "107.1" in page
    assert "8.62" not in page
    assert "tests/ML-101/curve.svg" in files


def test_the_manifest_before_is_named(root: Path, tmp_path: Path) -> None:
    first = built(root, tmp_path / "first") / "manifest.json"
    words: list[str | Path] = ["build", "--root", root, "--out", tmp_path / "second"]

    ran = run(*words, "--previous", first)

    assert ran.status == 0, ran.err
    found = json.loads((tmp_path / "second/manifest.json").read_bytes())
    wanted = sha256(first.read_bytes()).hexdigest()
    assert found["previous"] == f"sha256:{wanted}"
