"""A completed field test tells its verdict; what no answer mends is not asked."""

from datetime import date

from buildsite.archive.archive import Archive
from buildsite.entering.answer_check import WorkingRecord, check_answer
from buildsite.entering.closing import complete
from buildsite.entering.messages import Save, Say
from buildsite.entering.session import Session
from tests.archives import sound

FAILING = "records/marsh-lane/tests/FD-03.yaml"
RETEST = "records/marsh-lane/tests/FD-01.yaml"


def sit_down(
    file: str, about: str | None = None, *, open_again: bool = False
) -> Session:
    """Sit down at a field density, complete or in progress again."""
    data = dict(sound(("field-density",)))
    if open_again:
        text = data[file].decode()
        text = text.replace("reviewed: {on: 2026-04-14, by: E02}\n", "")
        assert "status: complete" in text
        data[file] = text.replace("status: complete", "status: in-progress").encode()
    archive = Archive(sorted(data), data.__getitem__)
    record = WorkingRecord(file, archive, "T07", date(2026, 4, 14), about)
    return Session(record, record.state(data[file]), data[file])


def told_at_completion(file: str) -> list[str]:
    """Call a test complete; return what is said, once it is saved as complete."""
    said: list[str] = []
    saved: list[bytes] = []
    for effect in complete(sit_down(file, open_again=True)):
        if isinstance(effect, Say):
            said += effect.lines
        elif isinstance(effect, Save):
            saved.append(effect.data)
    assert len(saved) == 1, said
    assert b"status: complete" in saved[0]
    return said


def test_a_completed_failure_says_that_it_fails_and_why() -> None:
    said = told_at_completion(FAILING)

    (told,) = (line for line in said if line.startswith("  Fails: "))
    assert "percent compaction" in told
    assert told.endswith("required.")


def test_a_completed_pass_says_so() -> None:
    assert "  Meets the requirement." in told_at_completion(RETEST)


def test_a_retest_of_a_failure_of_today_needs_no_reason() -> None:
    at = sit_down(RETEST, "")
    (asked,) = (
        one
        for one in at.questions(whole=True)
        if one.reading.name == "retest_of" and not one.gate
    )

    found = check_answer(at.record, at.state, asked, "FD-03")

    assert found.state is not None
    flags = {flag.flag for flag in found.state.flags}
    assert "reference-not-issued" in flags  # told, and still there at issue
    assert not any("reference-not-issued" in line for line in found.doubts)


def test_a_retest_of_what_did_not_fail_is_still_doubted() -> None:
    at = sit_down(RETEST, "")
    (asked,) = (
        one
        for one in at.questions(whole=True)
        if one.reading.name == "retest_of" and not one.gate
    )

    found = check_answer(at.record, at.state, asked, "FD-02")

    assert any("retest-of-no-failure" in line for line in found.doubts)
