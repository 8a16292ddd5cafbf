"""The strict reader: what it refuses and where, and what it keeps."""

from hashlib import sha256
from string import ascii_lowercase, digits
from time import process_time
from typing import Any

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from buildsite.record.faults import FAULTS, MOST_FAULTS
from buildsite.record.flags import Severity
from buildsite.record.source import PythonParser, Source, fastest_parser, read_source

PARSERS = [
    pytest.param(fastest_parser(), id="libyaml"),
    pytest.param(PythonParser, id="python"),
]
DEEP = "a: " + "[" * 20 + "]" * 20 + "\n"


def names(source: Source) -> list[tuple[str, int, int]]:
    return [(flag.flag, flag.line, flag.column) for flag in source.faults]


# Each refusal: what is written, and every flag with its line and column.
REFUSED: list[tuple[str | bytes, list[tuple[str, int, int]]]] = [
    # The file as a whole.
    (b"a: 1\nb: \xe9t\xe9\n", [("not-utf-8", 2, 4)]),
    (b"\xff\xfea\x00:\x00 \x001\x00", [("not-utf-8", 1, 1)]),
    (b"a: 1\nb: \xc3\xa9 \xed\xa0\x80\n", [("not-utf-8", 2, 6)]),
    ("\ufeffa: 1\n", [("byte-order-mark", 1, 1)]),
    ("a: 1\r\nb: 2\r\n", [("carriage-return", 1, 5)]),
    ("a: 1\rb: 2\n", [("carriage-return", 1, 5), ("yaml-syntax", 1, 7)]),
    ("a: 1\nb:\t2\n", [("tab", 2, 3)]),
    ("a:\n\tb: 2\n", [("tab", 2, 1)]),
    ("a: 1 # a\tb\n", [("tab", 1, 9)]),
    ("a: x\x00y\n", [("control-character", 1, 5)]),
    ("a: x\x7fy\nb: \x1b\n",
     [("control-character", 1, 5), ("control-character", 2, 4)]),
    ("a: x\x85y\n", [("control-character", 1, 5)]),
    ("a: x\u2028y\n", [("control-character", 1, 5)]),
    ("a: x\u202e1.3\n", [("control-character", 1, 5)]),
    ("a: x\ufeffy\n", [("control-character", 1, 5)]),
    # Without width, or marks of direction: labels that look alike and are not.
    *(
        (f"a: 08{unseen}y\n", [("control-character", 1, 6)])
        for unseen in "\xad\u061c\u180e\u200b\u200e\u200f\u2060\u2064\U000e0041"
    ),
    # Joiners where no script has them: beside digits, signs and Latin letters.
    ("a: x\u200cy\n", [("control-character", 1, 5)]),
    ("a: \u200d08\n", [("control-character", 1, 4)]),
    ("a: 08\u200d\n", [("control-character", 1, 6)]),
    ("a: \u0915\u200c\u200dx\n", [("control-character", 1, 6)]),
    # The same brought in by a backslash: it would reach terminals and pages.
    *(
        (f'a: 1\nb: "x{escape}y"\n', [("control-character", 2, 4)])
        for escape in (r"\0", r"\e", r"\x08", r"\u202e", r"\N", r"\L", r"\t", r"\r",
                       r"\u200b", r"\u200d")
    ),
    ('"a\\u202e": 1\n', [("control-character", 1, 1)]),
    ('a: ["x", "\\e[8m\\e"]\n', [("control-character", 1, 10)]),
    (
        "a: 1\n<<<<<<< HEAD\nb: 1\n=======\nb: 2\n>>>>>>> work\n",
        [("merge-conflict", 2, 1), ("merge-conflict", 4, 1), ("merge-conflict", 6, 1)],
    ),
    (
        "<<<<<<< a\nb: 1\n||||||| b\n=======\n>>>>>>> c\n",
        [("merge-conflict", line, 1) for line in (1, 3, 4, 5)],
    ),
    (b"a: " + b"x" * 1024 * 1024, [("too-large", 1, 1)]),
    # One mapping.
    ("", [("not-a-mapping", 1, 1)]),
    ("# nothing\n", [("not-a-mapping", 2, 1)]),
    ("- a\n- b\n", [("not-a-mapping", 1, 1)]),
    ("only words\n", [("not-a-mapping", 1, 1)]),
    ("---\n[a]\n", [("not-a-mapping", 2, 1)]),
    ("a: 1\n---\nb: 2\n", [("several-documents", 2, 1)]),
    ("a: 1\n...\n---\nb: 2\n", [("several-documents", 3, 1)]),
    ("%YAML 1.2\n---\na: 1\n", [("directive", 1, 1)]),
    ("# c\n%TAG ! tag:x,2000:\n---\na: 1\n", [("directive", 2, 1)]),
    ("%FOO bar\n---\na: 1\n", [("directive", 1, 1)]),
    # Keys.
    ("a: 1\nb: 2\na: 3\n", [("duplicate-key", 3, 1)]),
    ("a: 1\n'a': 3\n", [("duplicate-key", 2, 1)]),
    ("p:\n  - {x: 1, y: 2, x: 3}\n", [("duplicate-key", 2, 18)]),
    ("a: {b: 1}\na: {b: 1, b: 2}\n",
     [("duplicate-key", 2, 1), ("duplicate-key", 2, 11)]),
    ("? [a]\n: 1\n", [("bad-key", 1, 3)]),
    ("{a: 1}: 1\n", [("bad-key", 1, 1)]),
    ("'': 1\n", [("bad-key", 1, 1)]),
    ("? |\n  a\n: 1\n", [("bad-key", 1, 3)]),
    ("<<: {a: 1}\n", [("merge-key", 1, 1)]),
    ("a: {<<: [1], b: 2}\n", [("merge-key", 1, 5)]),
    # Anchors, aliases, tags.
    ("a: &x 1\n", [("anchor", 1, 4)]),
    ("a: &x\n", [("anchor", 1, 4)]),
    ("&x a: 1\n", [("anchor", 1, 1)]),
    ("a: &x {b: 1}\n", [("anchor", 1, 4)]),
    ("&x\na: 1\n", [("anchor", 1, 1)]),
    ("a: [&x 1, *x]\n", [("anchor", 1, 5), ("alias", 1, 11)]),
    ("a: &x [1]\nb: *x\n", [("anchor", 1, 4), ("alias", 2, 4)]),
    ("a: *x\n", [("alias", 1, 4)]),
    ("*x : 1\n", [("alias", 1, 1)]),
    ("b: &x {c: 1}\na:\n  <<: *x\n",
     [("anchor", 1, 4), ("merge-key", 3, 3), ("alias", 3, 7)]),
    ("a: !!float 1\n", [("tag", 1, 4)]),
    ("a: !mold 1\n", [("tag", 1, 4)]),
    ("a: ! 1\n", [("tag", 1, 4)]),
    ("a: !!set {b, c}\n", [("tag", 1, 4)]),
    ("a: !<tag:x> [1]\n", [("tag", 1, 4)]),
    ("a: !x!mold 1\n", [("tag", 1, 4)]),
    ("!!map\na: 1\n", [("tag", 1, 1)]),
    # Numbers that are none.
    ("a: .nan\n", [("not-a-number", 1, 4)]),
    ("a: [1, NaN, -.inf]\n", [("not-a-number", 1, 8), ("not-a-number", 1, 13)]),
    ("{a: Infinity}\n", [("not-a-number", 1, 5)]),
    ("a: inf", [("not-a-number", 1, 4)]),
    # Depth.
    (DEEP, [("too-deep", 1, 23)]),
    ("a: " + "{b: " * 20 + "}" * 20, [("too-deep", 1, 80)]),
    ("- " * 25 + "a\n", [("not-a-mapping", 1, 1)]),
    ("a:\n" + "".join(f"{' ' * n}- \n" for n in range(1, 30)), [("too-deep", 21, 21)]),
    # Length.
    ("a: [" + "1," * 5001 + "]", [("list-too-long", 1, 10005)]),
    ("a:\n" + "- {}\n" * 200000, [("list-too-long", 5002, 3)]),
    # No YAML.
    ("a: b: c\n", [("yaml-syntax", 1, 5)]),
    ("a: {b: 1\n", [("yaml-syntax", 2, 1)]),
    ("a: [1, 2\nb: 3\n", [("yaml-syntax", 2, 2)]),
    ("a: 1\nb: 'open\nc: d\n", [("yaml-syntax", 2, 4)]),
    ('a: "open\n---\n', [("yaml-syntax", 1, 4)]),
    ("a: @x\n", [("yaml-syntax", 1, 4)]),
    ("a: `x`\n", [("yaml-syntax", 1, 4)]),
    ("a: %x\n", [("yaml-syntax", 1, 4)]),
    ('a: "\\d"\n', [("yaml-syntax", 1, 4)]),
    ("a:\n  b: 1\n c: 2\n", [("yaml-syntax", 3, 2)]),
    ("a: 1\nb\nc: 2\n", [("yaml-syntax", 3, 1)]),
    ("a: 1\n- b\n", [("yaml-syntax", 2, 1)]),
    ("a: 1\na: 2\nb: [\n", [("duplicate-key", 2, 1), ("yaml-syntax", 4, 1)]),
]  # fmt: skip


@pytest.mark.parametrize(
    "words",
    [
        "\u0645\u06cc\u200c\u0634\u0648\u062f",  # Persian, "becomes": Unicode 15.0, 9.2
        "\u0915\u094d\u200d\u0937",  # Devanagari, half ka and ssa: the same, 12.1
    ],
)
def test_joiners_stay_where_a_script_is_spelled_with_them(words: str) -> None:
    source = read_source("r.yaml", f"remarks: {words}\n".encode())

    assert (source.tree["remarks"], source.faults) == (words, ())


@pytest.mark.parametrize("parser", PARSERS)
@pytest.mark.parametrize(("written", "flags"), REFUSED)
def test_is_refused_at_its_line_and_column(
    written: str | bytes, flags: list[tuple[str, int, int]], parser: Any
) -> None:
    data = written.encode() if isinstance(written, str) else written

    source = read_source("records/x.yaml", data, parser)

    assert names(source) == flags
    for flag in source.faults:
        assert flag.file == "records/x.yaml"
        assert flag.severity is Severity.ERROR
        assert flag.basis
        assert flag.found
        assert flag.expected
        assert flag.mend
        assert "\n" not in flag.message


@pytest.mark.parametrize(("written", "flags"), REFUSED)
def test_both_parsers_raise_the_same_flags_word_for_word(
    written: str | bytes, flags: object
) -> None:
    data = written.encode() if isinstance(written, str) else written

    assert read_source("x", data) == read_source("x", data, PythonParser)


def test_every_flag_of_the_reader_is_raised_here() -> None:
    raised = {name for _, flags in REFUSED for name, _, _ in flags}
    elsewhere = {
        # files.py
        "hidden-record",
        "symbolic-link",
        "wrong-suffix",
        "bad-file-name",
        "same-name",
        "unreadable-file",
        # below, and in test_typed.py
        "too-many-faults",
        "missing-field",
        "unknown-field",
        "wrong-shape",
        "not-a-reading",
        "not-a-count",
        "not-a-date",
        "not-a-choice",
        "not-text",
        "not-a-code",
        "not-an-id",
        "not-a-digest",
        "not-an-address",
        "out-of-range",
        "wrong-length",
        "wrong-value",
    }

    assert raised | elsewhere == {fault.flag for fault in FAULTS}
    assert not raised & elsewhere
    assert len(FAULTS) == len({fault.flag for fault in FAULTS})


# Near misses: what looks like a refusal and is none.
TAKEN = [
    ("a: 13.10\n", {"a": "13.10"}),
    ("a: no\nb: 1:30\nc: 010\nd: 1e3\ne: 0x1f\nf: 1_000\n",
     {"a": "no", "b": "1:30", "c": "010", "d": "1e3", "e": "0x1f", "f": "1_000"}),
    ("a: 2026-03-11T15:20\nb: {c: 2026-03-11T15:20}\n",
     {"a": "2026-03-11T15:20", "b": {"c": "2026-03-11T15:20"}}),
    ("a:\nb: \nc: {d: , e}\nf: [1, ]\n",
     {"a": None, "b": None, "c": {"d": None, "e": None}, "f": ["1"]}),
    ("a: ''\nb: \"\"\n", {"a": "", "b": ""}),
    ("a: ~\nb: null\nc: true\n", {"a": "~", "b": "null", "c": "true"}),
    ("---\na: 1\n...\n", {"a": "1"}),
    ("---\na: 1\n", {"a": "1"}),
    ("a: ÄÖ° – 3 µm 土 😀\n", {"a": "ÄÖ° – 3 µm 土 😀"}),
    ("a: \"&x\"\nb: '*x'\nc: \"!x\"\nd: '.nan'\n\"e\": '<<'\n",
     {"a": "&x", "b": "*x", "c": "!x", "d": ".nan", "e": "<<"}),
    ("a: R&D * ! <<\nb: x *y\nc: nano\nd: infill\ne: information\n",
     {"a": "R&D * ! <<", "b": "x *y", "c": "nano", "d": "infill", "e": "information"}),
    ("a: b? c\n'?': 1\n", {"a": "b? c", "?": "1"}),
    ("? a\n: 1\n", {"a": "1"}),
    ("a: ======= x\nb: |\n  =======\n  <<<<<<< y\n",
     {"a": "======= x", "b": "=======\n<<<<<<< y\n"}),
    ("a: 5 %\nb: |\n  %x\n", {"a": "5 %", "b": "%x\n"}),
    ("a: {b: 1}\nc: {b: 1}\nA: 2\n", {"a": {"b": "1"}, "c": {"b": "1"}, "A": "2"}),
    ("a: x # no tab\n# c\n\nb: >\n  two\n  lines\n", {"a": "x", "b": "two lines\n"}),
    ("a: " + "[" * 19 + "]" * 19 + "\n", None),
    ("a: " + "x" * (1024 * 1024 - 3), None),
    ("<<<<<<: 1\n", {"<<<<<<": "1"}),
]  # fmt: skip


@pytest.mark.parametrize("parser", PARSERS)
@pytest.mark.parametrize(("written", "tree"), TAKEN)
def test_near_misses_are_taken_as_written(
    written: str, tree: dict[str, Any] | None, parser: Any
) -> None:
    source = read_source("x", written.encode(), parser)

    assert source.faults == ()
    assert source.whole
    assert tree is None or source.tree == tree


RECORD = b"""\
id: HF-0117
standard: {designation: AASHTO T 180, method: A}
points:
  - container: "21"
    container_and_dry: [127.21, 127.19]
  - {container: "08", dried: }
remarks: >
  folded
"""


@pytest.mark.parametrize("parser", PARSERS)
def test_every_field_has_its_place(parser: Any) -> None:
    places = read_source("x", RECORD, parser).places

    # Counted by hand in the text above.
    assert places == {
        ("id",): (1, 5),
        ("standard",): (2, 11),
        ("standard", "designation"): (2, 25),
        ("standard", "method"): (2, 47),
        ("points",): (4, 3),
        ("points", 0): (4, 5),
        ("points", 0, "container"): (4, 16),
        ("points", 0, "container_and_dry"): (5, 24),
        ("points", 0, "container_and_dry", 0): (5, 25),
        ("points", 0, "container_and_dry", 1): (5, 33),
        ("points", 1): (6, 5),
        ("points", 1, "container"): (6, 17),
        ("points", 1, "dried"): (6, 23),  # blank: where its name stands
        ("remarks",): (7, 10),
    }


def test_a_missing_field_is_placed_at_the_nearest_parent() -> None:
    source = read_source("x", RECORD)

    assert source.place(("points", 1, "container_mass")) == (6, 5)
    assert source.place(("points", 7, "container")) == (4, 3)
    assert source.place(("mold_mass",)) == (1, 1)
    assert source.place(()) == (1, 1)


def test_a_name_has_a_place_of_its_own() -> None:
    source = read_source("x", RECORD)

    assert source.key_place(("standard", "method")) == (2, 39)
    assert source.key_place(("points", 0, "container_and_dry")) == (5, 5)
    assert source.key_place(("points", 1)) == (6, 5)
    assert source.key_place(("points", 1, "colour")) == (6, 5)
    assert source.key_place(()) == (1, 1)


def test_a_column_counts_characters_as_an_editor_does() -> None:
    source = read_source("x", "{é: 1, 😀: 2, c: 3}\n".encode())

    assert source.place(("c",)) == (1, 17)


def test_the_digest_is_that_of_the_bytes() -> None:
    assert read_source("x", RECORD).sha256 == sha256(RECORD).hexdigest()


def test_the_text_can_be_shown_even_where_it_is_not_utf_8() -> None:
    assert read_source("x", b"a: \xe9\n").text == "a: \ufffd\n"


def test_a_file_with_a_fault_still_shows_the_rest() -> None:
    source = read_source("x", b"a: 1\na: 2\nb: *c\nd: 3\n")

    assert source.tree == {"a": "1", "b": None, "d": "3"}
    assert source.whole


def test_a_file_that_is_no_yaml_has_no_tree() -> None:
    source = read_source("x", b"a: 1\nb: [\n")

    assert source.tree == {}
    assert not source.whole


@pytest.mark.parametrize("parser", PARSERS)
def test_reading_stops_after_a_hundred_faults(parser: Any) -> None:
    source = read_source("x", b"a: 1\n" * 500, parser)

    assert len(source.faults) == MOST_FAULTS + 1
    assert source.faults[-1].flag == "too-many-faults"
    assert source.faults[-1].line == MOST_FAULTS + 2
    assert not source.whole


def test_a_hundred_faults_are_told_and_reading_goes_on() -> None:
    source = read_source("x", b"a: 1\n" * (MOST_FAULTS + 1))

    assert len(source.faults) == MOST_FAULTS
    assert source.whole


MIB = 1024 * 1024
HOSTILE = {
    "brackets": b"a: " + b"[" * (MIB - 3),
    "braces": b"a: " + b"{a: " * (MIB // 4 - 1),
    "dashes": b"a:\n" + b" -" * (MIB // 2 - 2),
    "questions": b"? " * (MIB // 2),
    "one word": b"a: " + b"x" * (MIB - 3),
    "one key": b"x" * (MIB - 3) + b": 1",
    "open quotes": b'a: "' + b"\n" * (MIB - 4),
    "aliases": b"a: &a [1]\n" + b"".join(b"k%d: *a\n" % n for n in range(MIB // 16)),
    "keys": b"".join(b"%05x: 1\n" % n for n in range(MIB // 9)),
    "blanks": b"a:" + b" " * (MIB - 2),
    "hidden": b"a: " + b"\x01" * (MIB - 3),
    "percents": b"%\n" * (MIB // 2),
    "marks": b"=======\n" * (MIB // 8),
    "commas": b"a: [" + b"," * (MIB - 4),
    "numbers": b"a: [" + b"1," * (MIB // 2 - 3) + b"]",
}


@pytest.mark.parametrize("name", sorted(HOSTILE))
def test_a_hostile_file_costs_seconds_at_most(name: str) -> None:
    start = process_time()

    source = read_source("x", HOSTILE[name])

    assert process_time() - start < 5
    assert len(source.faults) <= MOST_FAULTS + 1


@pytest.mark.parametrize("name", ["brackets", "braces", "dashes", "questions"])
def test_depth_does_not_exhaust_the_parser_written_in_python(name: str) -> None:
    data = HOSTILE[name][:20000]

    source = read_source("x", data, PythonParser)

    assert source.faults
    assert not source.whole


# Put together of few parts: a regular expression takes ten times as long to draw.
KEYS = st.builds(
    "{}{}".format,
    st.sampled_from(ascii_lowercase),
    st.text(f"{ascii_lowercase}_{digits}", max_size=12),
).filter(lambda key: key not in ("nan", "inf", "infinity"))
WORDS = st.text(
    st.characters(
        exclude_categories=("C", "Zl", "Zp"), exclude_characters="\ufeff\ufffe\uffff"
    ),
    max_size=30,
).filter(lambda text: text.strip("+-.").lower() not in ("nan", "inf", "infinity"))
FIGURES = st.text(digits, min_size=1, max_size=4)
READINGS = st.builds(
    "{}{}{}".format,
    st.sampled_from(["", "-"]),
    FIGURES,
    st.just("") | FIGURES.map(".{}".format),
)
TREES = st.dictionaries(
    KEYS,
    st.recursive(
        WORDS | READINGS,
        lambda inner: (
            st.lists(inner, max_size=4) | st.dictionaries(KEYS, inner, max_size=4)
        ),
        max_leaves=12,
    ),
    max_size=6,
)


@given(TREES, st.booleans())
def test_text_comes_back_as_it_was_written(tree: Any, flow: bool) -> None:
    written = yaml.dump(
        tree,
        Dumper=yaml.SafeDumper,
        allow_unicode=True,
        default_flow_style=flow,
        width=10**6,
    )

    for parser in (fastest_parser(), PythonParser):
        source = read_source("x", written.encode(), parser)
        assert source.faults == ()
        assert source.tree == tree


@given(st.dictionaries(KEYS, READINGS, min_size=1))
def test_a_plain_reading_keeps_its_digits(readings: dict[str, str]) -> None:
    written = "".join(f"{key}: {text}\n" for key, text in readings.items())

    assert read_source("x", written.encode()).tree == readings


# Pieces of YAML, put together at random: most is broken, some is not.
PIECES = st.lists(
    st.sampled_from(
        ["a", "b", ": ", ":", "\n", "  ", " ", "- ", "? ", "{", "}", "[", "]", ", ",
         "&x ", "*x", "!t ", "<<", "'", '"', "#", " # c", "|\n", ">\n", "1.0", ".nan",
         "---\n", "...\n", "%Y\n", "\t", "\r\n", "é", "\\", "=======\n", "@", "~"]
    ),
    max_size=25,
)  # fmt: skip


@given(PIECES)
@settings(max_examples=400)
def test_what_both_parsers_take_they_take_alike(pieces: list[str]) -> None:
    # Of broken brackets, such as `{? }`, one of them takes what the other refuses.
    data = "".join(pieces).encode()

    fast = read_source("x", data)
    slow = read_source("x", data, PythonParser)

    if not fast.faults and not slow.faults:
        assert fast == slow


@given(st.binary(max_size=200))
def test_any_bytes_give_a_source_or_faults(data: bytes) -> None:
    for parser in (fastest_parser(), PythonParser):
        source = read_source("x", data, parser)
        assert source.whole or source.faults


@given(TREES.filter(bool))
def test_every_value_is_found_at_its_place(tree: Any) -> None:
    written = yaml.dump(tree, Dumper=yaml.SafeDumper, allow_unicode=True, width=10**6)
    source = read_source("x", written.encode())
    lines = written.split("\n")

    for field, (line, column) in source.places.items():
        assert lines[line - 1][column - 1 :] != ""
        key = field[-1]
        if isinstance(key, str):
            name_line, name_column = source.key_place(field)
            name = lines[name_line - 1][name_column - 1 :]
            assert name.lstrip("'\"? ").startswith(key)
