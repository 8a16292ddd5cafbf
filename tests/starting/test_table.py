"""Records out of a table: kept as written, all or none, a word for each bad cell."""

import csv
import io
import re
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import pytest

from buildsite.archive.archive import Archive
from buildsite.record.source import read_source
from buildsite.starting.columns import columns
from buildsite.starting.record_text import answer_fields
from buildsite.starting.table import Table, read_table
from tests.archives import sound
from tests.kinds.making import kind

TEST = kind("moisture-density")
TABLES = Path(__file__).parents[2] / "docs/tables.md"
HEAD = (
    "id,sample,standard.designation,standard.method,compacted.on,units.density,"
    "point.dry_density,point.water_content"
)
FIRST = "ML-9,ML-S1,AASHTO T 99,A,1998-05-04,lb/ft3,110.2,9.8"
GOOD = f"{HEAD}\n{FIRST}\n,,,,,,114.0,12.10\n,,,,,,112.9,16.2\n"


def archive(without: Sequence[str] = ()) -> Archive:
    files = {name: data for name, data in sound().items() if name not in without}
    return Archive(sorted(files), dict(files).__getitem__)


def read(table: str | bytes, **told: str) -> Table:
    data = table.encode() if isinstance(table, str) else table
    return read_table(archive(), TEST, data, told)


def tree(table: Table, index: int = 0) -> Mapping[str, Any]:
    assert table.complaints == ()
    one = table.records[index]
    source = read_source(one.file, one.text.encode())
    assert source.faults == ()
    return source.tree


def told(table: Table) -> list[str]:
    assert table.records == ()
    return [" ".join(str(one).split()) for one in table.complaints]


def as_table(one: Mapping[str, Any], separator: str = ",") -> str:
    """Write a record's tree as a table, by the documented names and nothing else."""

    def cells(value: Any, lead: str) -> dict[str, str]:
        if isinstance(value, dict):
            inside = [cells(below, f"{lead}.{name}") for name, below in value.items()]
            return {key: cell for each in inside for key, cell in each.items()}
        return {lead.lstrip("."): str(value)}

    whole = {name: value for name, value in one.items() if name not in LEFT_OUT}
    points = [cells(point, ".point") for point in one["points"]]
    first = cells(whole, "")
    names = [*first, *dict.fromkeys(name for point in points for name in point)]
    text = io.StringIO(newline="")
    writer = csv.DictWriter(text, names, restval="", delimiter=separator)
    writer.writeheader()
    writer.writerow(first | points[0])
    writer.writerows(points[1:])
    return text.getvalue()


LEFT_OUT = ("points", "format", "kind", "reviewed")


@pytest.mark.parametrize("id", ["ML-101", "ML-102"])
@pytest.mark.parametrize("separator", [",", ";", "\t"])
def test_a_record_written_as_a_table_comes_back_as_it_was(
    id: str, separator: str
) -> None:
    file = f"records/marsh-lane/tests/{id}.yaml"
    before = dict(read_source(file, sound()[file]).tree)
    table = as_table(before, separator)

    made = read_table(archive([file]), TEST, table.encode(), {})

    before.pop("reviewed")
    assert tree(made) == before
    assert made.records[0].file == file
    assert (made.lines, made.notes) == (5, ())


def test_old_results_with_densities_and_water_contents_only() -> None:
    found = tree(read(GOOD))

    assert found["project"] == "marsh-lane"  # the only one there is
    assert found["status"] == "in-progress"
    assert found["points"] == [
        {"dry_density": "110.2", "water_content": "9.8"},
        {"dry_density": "114.0", "water_content": "12.10"},  # the zeros stay
        {"dry_density": "112.9", "water_content": "16.2"},
    ]


def test_several_tests_stand_in_one_table() -> None:
    second = FIRST.replace("ML-9", "ML-10")
    made = read(f"{GOOD}{second}\n{second.replace('110.2', '115.3')}\n")

    assert [Path(one.file).stem for one in made.records] == ["ML-9", "ML-10"]
    assert [len(tree(made, i)["points"]) for i in (0, 1)] == [3, 2]


def test_a_table_without_ids_is_one_test_with_the_next_free_one() -> None:
    table = "\n".join(line.split(",", 1)[1] for line in GOOD.splitlines())

    assert tree(read(table))["id"] == "ML-103"
    assert tree(read(table, id="ML-7"))["id"] == "ML-7"


def test_what_is_told_holds_where_no_cell_says_it() -> None:
    made = read(GOOD, by="T07", sample="ML-S2", standard="ASTM D698", edition="22")

    found = tree(made)
    assert found["compacted"] == {"on": "1998-05-04", "by": "T07"}
    assert found["sample"] == "ML-S1"
    assert found["standard"]["designation"] == "AASHTO T 99"
    assert found["standard"]["edition"] == "22"


@pytest.mark.parametrize(
    "data",
    [
        GOOD.encode("utf-8-sig"),
        GOOD.replace("\n", "\r\n").encode(),
        GOOD.replace(",", ";").encode(),
        ("sep=;\r\n" + GOOD.replace(",", ";")).encode(),
        GOOD.replace(",", "\t").encode("utf-16"),
        ("\ufeff" + GOOD.replace(",", "\t")).encode("utf-16-be"),
        GOOD.upper().replace("LB/FT3", "lb/ft3").encode(),
        (GOOD + ",,,,,,,\n\n").encode(),
        GOOD.replace("114.0", '" 114.0 "').encode(),
        (GOOD.replace(HEAD, HEAD + ",")).encode(),
    ],
)
def test_what_spreadsheets_write_is_read(data: bytes) -> None:
    assert tree(read(data)) == tree(read(GOOD))


def test_decimal_commas_are_read_where_they_can_mean_nothing_else() -> None:
    table = GOOD.replace(",", ";").replace(".2\n", ",2\n")
    table = re.sub(r"(?<=[0-9])\.(?=[0-9])", ",", table)

    made = read(table)

    assert tree(made) == tree(read(GOOD))
    assert "110,2 is taken as 110.2" in made.notes[0]


@pytest.mark.parametrize(
    "table",
    [
        GOOD.replace(",", ";").replace("114.0", "114,0"),  # 110.2 has a point
        GOOD.replace("114.0", '"114,0"'),
    ],
)
def test_decimal_commas_are_refused_where_they_might(table: str) -> None:
    (one,) = told(read(table))

    assert "row 3, column G, point.dry_density found '114,0'" in one
    assert "no comma" in one


def test_a_several_times_weighed_container_has_slashes() -> None:
    names = "point.container_mass,point.container_and_wet,point.container_and_dry"
    table = f"{HEAD},{names}\n{FIRST},30.1,120.4,110.20 / 110.1\n"

    point = tree(read(table))["points"][0]
    assert point["container_and_dry"] == ["110.20", "110.1"]


@pytest.mark.parametrize(
    ("was", "now", "said"),
    [
        ("114.0", "114.0 ", None),
        ("114.0", "1.14E+02", "row 3, column G, point.dry_density found '1.14E+02'"),
        ("114.0", "#DIV/0!", "row 3, column G, point.dry_density found '#DIV/0!'"),
        ("114.0", "1 114.0", "expected: a number"),
        ("1998-05-04", "5/4/1998", "row 2, column E, compacted.on found '5/4/1998'"),
        ("lb/ft3", "pcf", "row 2, column F, units.density found 'pcf'"),
        ("ML-S1", "ML-S9", "row 2, column B, sample found ML-S9"),
        ("ML-9,", "ML-101,", "ML-101, which is taken"),
        ("ML-9,", "ml-101,", "ml-101, which is taken"),
        ("ML-9,", "M L,", "row 2, column A, id found 'M L'"),
        ("ML-9,", "../x,", "row 2, column A, id found '../x'"),
        ("\n,,,,,,114.0", "\n,ML-S2,,,,,114.0", "found 'ML-S2'; expected: nothing"),
        ("sample", "sampel", "row 1, column B found 'sampel'"),
        ("sample", "id", "row 1, column B found id again"),
        ("compacted.on", "reviewed.on", "row 1, column E found 'reviewed.on'"),
        ("standard.method", "remarks", "add a column standard.method, or say --method"),
        (",A,", ",,", "fill in the column standard.method, or say --method"),
        ("units.density", "remarks", "fill in one of the columns units.compacted"),
        ("12.10", "12.10,13", "found '13'; expected: no more cells than names"),
        ("12.10", '12.10"', "row 3, column H, point.water_content found '12.10\"'"),
        ("12.10", '"12.10', "quotation mark"),
        ("12.10", "12\u200b.10", "U+200B"),
    ],
)
def test_a_cell_that_cannot_be_used_gets_a_word(
    was: str, now: str, said: str | None
) -> None:
    assert was in GOOD
    made = read(GOOD.replace(was, now, 1))

    if said is None:
        assert made.complaints == ()
    else:
        assert said in "\n".join(told(made))


def test_every_bad_cell_is_told_at_once_and_in_order() -> None:
    bad = GOOD.replace("110.2", "x").replace("12.10", "y").replace("1998-05-04", "z")

    found = told(read(bad))

    assert [re.match(r"row \d+", one)[0] for one in found] == [  # type: ignore[index]
        *("row 2", "row 2", "row 3")
    ]
    assert "'z'" in found[0]


@pytest.mark.parametrize(
    "data", [b"", b"\n\n", b"\xff\x00", "id;Prüfung".encode("cp1252")]
)
def test_what_is_no_table_is_refused(data: bytes) -> None:
    assert len(told(read(data))) == 1


def test_names_alone_make_no_record() -> None:
    assert read(HEAD + "\n").records == ()


def test_a_test_that_comes_again_further_down_is_refused() -> None:
    found = told(read(f"{GOOD}{FIRST.replace('ML-9', 'ML-10')}\n{FIRST}\n"))

    assert "row 6, column A, id found ML-9, as in row 2" in found[0]


def test_rows_without_readings_make_no_points() -> None:
    found = told(read(f"{HEAD}\nML-9,ML-S1,AASHTO T 99,A,1998-05-04,lb/ft3,,\n"))

    assert "fill in one of the columns point.water_added_ml" in found[0]


def test_every_column_stands_in_the_guide_and_no_other() -> None:
    rows = [x for x in TABLES.read_text("utf-8").splitlines() if x.startswith("| `")]
    named = [
        name for row in rows for name in re.findall(r"`(\S+)`", row.split(" | ")[0])
    ]

    assert sorted(named) == sorted(one.name for one in columns(TEST).values())


def test_the_table_in_the_guide_is_read() -> None:
    blocks = re.findall(r"^```\n(id,.*?)^```", TABLES.read_text("utf-8"), re.M | re.S)

    found = tree(read(blocks[0].replace("HF-S06", "ML-S1")))
    assert len(found["points"]) == 4


def test_each_question_of_new_has_its_place() -> None:
    assert TEST.blank is not None
    found = answer_fields(TEST)

    assert sorted(found) == sorted(ask.name for ask in TEST.blank.asks)
    assert found["on"] == ("compacted", "on")
    assert found["standard"] == ("standard", "designation")


def test_a_standard_typed_shortly_is_kept_as_the_standard_writes_it() -> None:
    short = GOOD.replace("ASTM D698", "d 698").replace("AASHTO T 99", "t99")
    assert short != GOOD

    assert tree(read(short))["standard"] == tree(read(GOOD))["standard"]
