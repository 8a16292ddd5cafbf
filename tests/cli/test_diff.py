"""`diff`: what moves, by how much, and who follows; on real clones."""

import json
import re
from pathlib import Path
from typing import Any

import pytest

from tests.archives import ML_101_MAXIMUM, Files, changed, issued, sound
from tests.cli.running import run
from tests.clones import clone, git, write

ONE, TWO = "marsh-lane/tests/ML-101", "marsh-lane/tests/ML-102"
MOLD = "equipment/M-04.yaml"
FULLER = {MOLD: [["full_with_plates: 4052.5", "full_with_plates: 4062.5"]]}
"""Ten grams more of water in the mold than was written first."""

READ_AGAIN = {f"{ONE}.yaml": [["mold_and_wet_soil: 8.64", "mold_and_wet_soil: 8.66"]]}
COLLEAGUE = {
    "lab.yaml": [
        [
            "  E02:",
            "  T09: {roles: [technician], may: [test], from: 2026-02-01}\n  E02:",
        ]
    ]
}


def diff(root: Path, *words: str) -> list[dict[str, Any]]:
    ran = run("diff", *words, "--json", "--root", root)
    assert ran.status == 0, ran.err
    found: list[dict[str, Any]] = json.loads(ran.out)
    return found


def first_issued() -> Files:
    return issued(sound(), ONE, {})


def commit(root: Path, files: Files, message: str) -> None:
    write(root, files)
    git(root, "add", "--all")
    git(root, "commit", "--quiet", f"--message={message}")


def numbers(text: str) -> list[float]:
    return [float(one) for one in re.findall(r"[0-9]+\.[0-9]+", text)]


def test_nothing_moves_in_an_untouched_clone(tmp_path: Path) -> None:
    clone(tmp_path, first_issued())

    ran = run("diff", "--root", tmp_path)

    assert (ran.status, ran.out) == (0, "")
    assert ran.err == "0 tests changed, 0 of them issued\n"


def test_a_corrected_mold_moves_every_test_that_rests_on_it(tmp_path: Path) -> None:
    # Density is mass over volume, so each maximum falls as the volume rises; and the
    # volume is that of the water, 942.3 g of it before and 952.3 g after.
    clone(tmp_path, first_issued())
    write(tmp_path, changed(FULLER))

    found = diff(tmp_path)

    assert [(one["test"], one["issued"]) for one in found] == [
        ("ML-101", "r0"),
        ("ML-102", None),
    ]
    assert [one["from"]["state"] for one in found] == ["r0", "HEAD"]
    for one in found:
        assert one["moved"]
        assert not one["program"]
        (density,) = (r for r in one["results"] if r["name"] == "maximum_dry_density")
        (old,), (new,) = numbers(density["old"]), numbers(density["new"])
        assert new == pytest.approx(old * 942.3 / 952.3, abs=0.11)
        assert numbers(density["difference"]) == [pytest.approx(old - new)]
        assert density["difference"].startswith("−")
        (mold,) = one["answers"]
        volume = next(f for f in mold["fields"] if f["field"] == "volume")
        (before,), (after,) = numbers(volume["old"]), numbers(volume["new"])
        assert mold["of"] == "mold M-04"
        assert after / before == pytest.approx(952.3 / 942.3, abs=0.0002)


def test_a_reading_is_told_with_its_unit(tmp_path: Path) -> None:
    clone(tmp_path, first_issued())
    write(tmp_path, changed(READ_AGAIN))

    ran = run("diff", "ML-101", "--root", tmp_path)

    assert ran.status == 0
    assert "ML-101: r0 → working tree (last issued as ML-101 r0)" in ran.out
    assert "point 3, mold and wet soil: 8.64 lb → 8.66 lb" in ran.out
    assert re.search(r"maximum dry density +108\.1 lb/ft³", ran.out) or re.search(
        r"maximum dry density +108\.1 lbf/ft³", ran.out
    )


def test_a_new_colleague_moves_no_result(tmp_path: Path) -> None:
    clone(tmp_path, first_issued())
    write(tmp_path, changed(COLLEAGUE))

    assert diff(tmp_path) == []


def test_the_program_alone_moves_an_issued_result(tmp_path: Path) -> None:
    older = {"maximum_dry_density": "111.0 lb/ft3", "optimum_water_content": "17.7 %"}
    clone(tmp_path, issued(sound(), ONE, {"results": older}))

    (one,) = diff(tmp_path)

    assert one["program"]
    assert one["results"][0]["old"] == "111.0 lb/ft³"
    assert one["fields"] == one["answers"] == []


def test_two_revisions_are_compared_as_they_were_issued(tmp_path: Path) -> None:
    clone(tmp_path, first_issued())
    again = {**first_issued(), **only(changed(READ_AGAIN), ONE)}
    commit(tmp_path, again, "Read point 3 again")
    commit(tmp_path, issued(again, ONE, {}), "Issue ML-101 r1")
    commit(tmp_path, only(changed(FULLER), "equipment/M-04"), "The mold, corrected")

    (one,) = diff(tmp_path, "ML-101", "--from", "r0", "--to", "1")

    assert [one["from"]["state"], one["to"]["state"]] == ["r0", "r1"]
    assert [f["field"] for f in one["fields"]] == ["points[2].mold_and_wet_soil"]
    assert one["answers"] == []
    assert [(t["test"], t["from"]["state"]) for t in diff(tmp_path)] == [
        ("ML-101", "r1")
    ]


def only(files: Files, record: str) -> Files:
    name = f"records/{record}.yaml"
    return {name: files[name]}


def test_a_commit_is_compared_with_the_one_before(tmp_path: Path) -> None:
    clone(tmp_path, sound())
    commit(tmp_path, changed(READ_AGAIN), "Read point 3 again")

    found = diff(tmp_path, "--from", "HEAD~1", "--to", "HEAD")

    assert [one["test"] for one in found] == ["ML-101"]


def test_tests_that_would_follow_are_named(tmp_path: Path) -> None:
    follows = {
        f"{ONE}.yaml": [["layers: 3", "specific_gravity: {test: ML-102}\nlayers: 3"]]
    }
    clone(tmp_path, changed(follows))

    assert diff(tmp_path, "ML-102")[0]["followers"] == ["ML-101"]
    assert diff(tmp_path, "ML-101")[0]["followers"] == []


def test_equipment_put_in_the_place_of_other_is_compared(tmp_path: Path) -> None:
    other = sound()[f"records/{MOLD}"].replace(b"M-04", b"M-05")
    other = other.replace(b"4052.5", b"4062.5")
    files = {**sound(), "records/equipment/M-05.yaml": other}
    clone(tmp_path, files)
    text = sound()[f"records/{ONE}.yaml"].replace(b"mold: M-04", b"mold: M-05")
    write(tmp_path, {f"records/{ONE}.yaml": text})

    (one,) = diff(tmp_path)

    assert [f["field"] for f in one["fields"]] == ["equipment.mold"]
    assert [answer["of"] for answer in one["answers"]] == ["mold M-04 → M-05"]


def test_a_record_that_broke_is_told(tmp_path: Path) -> None:
    clone(tmp_path, first_issued())
    write(tmp_path, {f"records/{ONE}.yaml": b"format: 1\nkind: [\n"})

    (one,) = diff(tmp_path)

    assert one["to"]["why"].startswith("line 3: ")
    assert {r["new"] for r in one["results"]} == {""}


def test_a_test_that_was_taken_away_is_told(tmp_path: Path) -> None:
    clone(tmp_path, sound())
    (tmp_path / f"records/{ONE}.yaml").unlink()

    (one,) = diff(tmp_path)

    assert (one["test"], one["to"]["why"]) == ("ML-101", "no ML-101")


def test_a_pull_request_gets_a_table(tmp_path: Path) -> None:
    clone(tmp_path, first_issued())
    write(tmp_path, changed(FULLER))

    lines = run(
        "diff", "--from", "HEAD", "--format", "markdown", "--root", tmp_path
    ).out.splitlines()

    head = lines.index(
        "| test | issued | result | old | new | difference | tests affected |"
    )
    assert lines[head + 2].startswith(
        f"| ML-101 | r0 | maximum dry density | {ML_101_MAXIMUM} "
    )
    assert lines[head + 3].startswith(
        "| ML-102 | no | standard maximum dry unit weight | "
    )


def test_names_of_customers_and_staff_are_left_out(tmp_path: Path) -> None:
    clone(tmp_path, sound())
    write(
        tmp_path,
        changed(
            {
                "marsh-lane/project.yaml": [["A customer who", "SECRET-1 who"]],
                "lab.yaml": [["E02: {", "E02: {name: SECRET-2, "]],
            }
        ),
    )

    for style in ("text", "markdown", "json"):
        ran = run("diff", "ML-101", "--format", style, "--root", tmp_path)
        assert ran.status == 0
        assert "SECRET" not in ran.out


@pytest.mark.parametrize(
    ("words", "status", "says"),
    [
        (("ML-999",), 2, "No test 'ML-999'"),
        (("ML-102", "--from", "r0"), 2, "ML-102 was never issued: it has no r0."),
        (("ML-101", "--from", "r7"), 2, "ML-101 has no report r7. Issued: r0."),
        (("ML-101", "--from", "nowhere"), 3, "No revision 'nowhere' in this clone."),
    ],
)
def test_what_is_not_there_is_said(
    tmp_path: Path, words: tuple[str, ...], status: int, says: str
) -> None:
    clone(tmp_path, first_issued())

    ran = run("diff", *words, "--root", tmp_path)

    assert ran.status == status
    assert says in ran.err


def test_a_folder_that_is_no_clone_is_refused(tmp_path: Path) -> None:
    write(tmp_path, sound())

    ran = run("diff", "--root", tmp_path)

    assert ran.status == 3
    assert "Run it in a clone of the archive." in ran.err


def test_an_empty_text_in_place_of_an_absent_field_is_not_shown(tmp_path: Path) -> None:
    # It said "remarks: not stated → not stated".
    clone(tmp_path, first_issued())
    blank = [["water_added: each", 'water_added: each\nremarks: ""']]
    write(tmp_path, changed({"marsh-lane/tests/ML-101.yaml": blank}))

    text = run("diff", "ML-101", "--root", tmp_path).out
    tree = json.loads(run("diff", "ML-101", "--json", "--root", tmp_path).out)

    assert "remarks" not in text
    assert "not stated → not stated" not in text
    assert "remarks" not in json.dumps(tree)
