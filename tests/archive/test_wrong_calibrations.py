"""What relied on equipment found wrong is never said to need no action."""

from tests.archives import Files, archive_of, changed, flags_of, issued

ML_102 = "records/marsh-lane/tests/ML-102.yaml"
OVEN = "oven: {in: 2026-03-10T15:40"
COLLEAGUE = "  T99: {roles: [technician], may: [test], from: 2026-04-01}\n"


def put(files: Files, name: str, was: str, now: str) -> Files:
    """Change one text of one record, which must be there once."""
    text = files[name].decode()
    assert text.count(was) == 1
    return {**files, name: text.replace(was, now).encode()}


def test_nor_where_it_relied_through_another_test() -> None:
    # GS-1 was issued, then ML-102, which takes its specific gravity from it. Then came
    # a colleague, which changes a file of ML-102 and no value.
    files = changed({}, beside=["specific-gravity"])
    files = put(files, ML_102, OVEN, f"specific_gravity: {{test: GS-1}}\n{OVEN}")
    files = issued(files, "marsh-lane/tests/GS-1", {})
    files = issued(files, "marsh-lane/tests/ML-102", {})
    files = put(files, "records/lab.yaml", "procedures:", f"{COLLEAGUE}procedures:")
    (note,) = [one for one in flags_of(files) if one.file == ML_102]
    assert note.mend.startswith("no action needed")

    # Then the pycnometer of GS-1 was declared wrong.
    files = put(
        files,
        "records/equipment/PY-1.yaml",
        "    state: as found\n",
        "    state: as found\n    found_wrong: chipped\n",
    )
    raised = [one for one in flags_of(files) if one.file == ML_102]

    assert {one.flag for one in raised} == {
        "moved-since-issue",
        "relied-on-wrong-calibration",
    }
    assert not any("no action" in one.mend for one in raised)
    # so too where the one record alone is checked
    alone = archive_of(files).flags(ML_102)
    assert [one.mend for one in alone] == [one.mend for one in raised]
