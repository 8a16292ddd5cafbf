"""Departures of a report: those stated, and accepted flags against a clause."""

from buildsite.kinds.outcome import Outcome
from buildsite.kinds.sheet import Note, Table
from tests.archives import Changes, archive_of, changed

TEST = "marsh-lane/tests/ML-101.yaml"
LAYERS = ["layers: 3", "layers: 4"]
"""AASHTO T 99 fills the mold in three layers: a clause of the method."""
MOLD = ["mold_mass: 4.41", "mold_mass: 4.60"]
"""A mold that weighs otherwise than calibrated is doubted by common practice."""
NONE = "None stated."


def made(*pairs: list[str], name: str = TEST, more: Changes | None = None) -> Outcome:
    files = changed({name: [*pairs], **(more or {})})
    outcome = archive_of(files).outcome(f"records/{name}")
    assert outcome is not None
    return outcome


def said(outcome: Outcome) -> tuple[str, ...]:
    (note,) = (
        block
        for block in outcome.sheet().blocks
        if isinstance(block, Note) and block.name == "departures"
    )
    return note.paragraphs


def accepting(flag: str) -> list[str]:
    line = f"accepted: [{{flag: {flag}, by: E02, reason: The customer asked for it}}]\n"
    return ["status: complete\n", f"status: complete\n{line}"]


def raised(outcome: Outcome) -> set[str]:
    return {flag.flag for flag in outcome.flags}


def test_an_accepted_flag_against_a_clause_is_a_departure() -> None:
    outcome = made(LAYERS, accepting("layers-unlike-method"))

    text = said(outcome)[0]

    assert text.startswith(
        "Layers unlike method: found 4; expected 3 in AASHTO T 99 Method A (AASHTO T 99"
    )
    assert text.endswith("). Accepted by E02: The customer asked for it")


def test_an_open_one_is_not_yet_and_stays_among_the_flags() -> None:
    outcome = made(LAYERS)

    assert "layers-unlike-method" in raised(outcome)
    assert said(outcome) == (NONE,)


def test_what_only_common_practice_doubts_is_none() -> None:
    outcome = made(MOLD, accepting("mold-mass-unlike-calibrated"))

    assert "mold-mass-unlike-calibrated" in raised(outcome)
    assert said(outcome) == (NONE,)


def test_places_of_one_departure_share_a_sentence() -> None:
    # Each container holds 40 g of wet soil; T 99 asks for 100 g at least.
    read = [
        ("31.42", "162.79", "147.04"),
        ("30.98", "158.03", "141.01"),
    ]
    pairs = []
    for empty, wet, dry in read:
        base = float(empty)
        share = (float(wet) - float(dry)) / (float(wet) - base)
        less = f"{base + 40:.2f}", f"{base + 40 * (1 - share):.2f}"
        pairs.append([f"container_and_wet: {wet}", f"container_and_wet: {less[0]}"])
        pairs.append([f"container_and_dry: {dry}", f"container_and_dry: {less[1]}"])

    outcome = made(*pairs, accepting("moisture-specimen-too-small"))

    text = said(outcome)[0]
    assert text.startswith("Moisture specimen too small, points 1, 2: found ")
    assert text.count("Accepted by E02") == 1


def test_the_name_that_the_laboratory_prints_stands_with_the_code() -> None:
    lab = {"lab.yaml": [["E02: {roles", "E02: {name: A. Berg, roles"]]}

    text = said(made(LAYERS, accepting("layers-unlike-method"), more=lab))[0]

    assert text.endswith("Accepted by A. Berg (E02): The customer asked for it")


def test_a_departure_that_was_stated_stands_first() -> None:
    stated = "deviations: [{clause: '5.2', what: four layers, authorized_by: E02}]\n"
    pair = accepting("layers-unlike-method")

    first, second, *_ = said(made(LAYERS, [pair[0], pair[1] + stated]))

    assert first.startswith("Clause 5.2: four layers")
    assert second.startswith("Layers unlike method: found 4")


def flags_listed(outcome: Outcome) -> set[str]:
    return {
        row.cells[0].text
        for block in outcome.sheet().blocks
        if isinstance(block, Table) and block.name == "flags"
        for row in block.rows
    }


def test_each_stands_on_a_report_once() -> None:
    name = "layers-unlike-method"

    assert name in flags_listed(made(LAYERS))
    assert name not in flags_listed(made(LAYERS, accepting(name)))
    kept = made(MOLD, accepting("mold-mass-unlike-calibrated"))
    assert "mold-mass-unlike-calibrated" in flags_listed(kept)


def test_flags_of_several_lines_share_a_row_with_what_each_found() -> None:
    # Containers of 40 g and 30 g of wet soil, where T 99 asks for 100 g at least.
    smaller = [
        ("container_and_wet: 162.79, container_and_dry: 147.04", 40.0, 31.42),
        ("container_and_wet: 158.03, container_and_dry: 141.01", 30.0, 30.98),
    ]
    pairs = []
    for was, soil, base in smaller:
        wet, dry = base + soil, base + soil * 0.87
        now = f"container_and_wet: {wet:.2f}, container_and_dry: {dry:.2f}"
        pairs.append([was, now])

    (row,) = (
        [cell.text for cell in row.cells]
        for block in made(*pairs).sheet().blocks
        if isinstance(block, Table) and block.name == "flags"
        for row in block.rows
        if row.cells[0].text == "moisture-specimen-too-small"
    )

    assert row[2].startswith("points 1, 2")
    assert "Found: 40.0, 30.0 g" in row[3] or "Found: 40.00, 30.00 g" in row[3]
