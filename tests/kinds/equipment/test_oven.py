"""An oven off its setting, and the tests that somebody judged."""

from tests.kinds.making import made


def test_what_was_judged_is_no_longer_doubted() -> None:
    text = (
        "kind: oven\nid: T-1\ncalibrations: [{{on: 2026-01-15, set_temperature_c: 110, "
        "measured_temperatures_c: [116]{}}}]\n"
    )
    judged = ", tests_judged: {by: E02, reason: none was dried in it}"

    assert [f.flag for f in made(text.format("")).flags] == ["oven-off-its-setting"]
    assert made(text.format(judged)).flags == ()
