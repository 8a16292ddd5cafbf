"""The results of several tests as columns of a list: what a reader came for, first."""

import re
from collections.abc import Iterable, Mapping, Sequence

from buildsite.kinds.field_control.results import FieldTest
from buildsite.kinds.sheet import Column
from buildsite.pages.rows import Row as Test
from buildsite.pages.rows import result_title

VERDICTS = {"pass": "Pass", "fail": "Fail"}


def split_unit(reported: str) -> tuple[str, str]:
    """
    Split a reported result into number and unit.

    >>> split_unit("121.4 lb/ft³")
    ('121.4', 'lb/ft³')
    """
    number, _, unit = reported.partition(" ")
    return number, unit


def pair_of(tests: Sequence[Test]) -> tuple[str, ...]:
    """
    Return the names under which lists show the pair that field tests are judged by.

    Those of a test without oversize, if there is one: its terms are the plain ones.
    """
    pairs = {test.governing for test in tests if test.governing}
    return min(pairs, key=lambda names: (len("".join(names)), names), default=())


def listed_results(test: Test, pair: tuple[str, ...]) -> Mapping[str, str]:
    """Return the results of a test by column; its other pair is left to the report."""
    results = dict(test.results)
    if not test.governing or len(test.governing) != len(pair):
        return results
    return {
        column: results[name]
        for column, name in zip(pair, test.governing, strict=True)
        if name in results
    }


def difference(term: str, plain: str) -> str:
    """
    Return what a term says beyond the plain one.

    >>> difference("Corrected maximum dry density", "Maximum dry density")
    'corrected'
    >>> difference("Maximum dry density adjusted for oversize", "Maximum dry density")
    'adjusted for oversize'
    """
    found = re.sub(re.escape(plain), "", term, flags=re.IGNORECASE).strip()
    return f"{found[:1].lower()}{found[1:]}"


def corrections(tests: Sequence[Test], pair: tuple[str, ...]) -> list[str]:
    """Return what was done to the pair of each test, where not to those of all."""
    found = []
    for test in tests:
        words = dict(test.words)
        done = test.governing not in ((), pair)
        first = words.get(test.governing[0], "") if done else ""
        found.append(difference(first, words.get(pair[0], "")) if done else "")
    return found


def verdict_of(test: Test) -> str:
    """Return the verdict of a field test; blank for any other test."""
    told = test.told
    if not isinstance(told, FieldTest):
        return ""
    return VERDICTS.get(told.verdict, "No verdict")


def result_columns(tests: Sequence[Test]) -> tuple[list[Column], list[list[str]]]:
    """
    Return the columns of results, and each test's cells.

    Of a compaction test the pair that field tests are judged by, of a field test its
    verdict first. If all tests report in one unit it is in the heading, and numbers
    align.
    """
    pair = pair_of(tests)
    shown = [listed_results(test, pair) for test in tests]
    names = list(dict.fromkeys(name for results in shown for name in results))
    terms = shared_terms(tests, names)
    heads: list[Column] = []
    cells: list[list[str]] = [[] for _ in tests]

    def add(head: Column, texts: Iterable[str]) -> None:
        heads.append(head)
        for row, text in zip(cells, texts, strict=True):
            row.append(text)

    verdicts = list(map(verdict_of, tests))
    if any(verdicts):
        add(Column("Verdict"), verdicts)
    for name in names:
        found = [results.get(name, "") for results in shown]
        units = {split_unit(text)[1] for text in found if text}
        one = units.pop() if len(units) == 1 else ""
        texts = [split_unit(text)[0] if one else text for text in found]
        add(Column(terms[name], one, number=True), texts)
    done = corrections(tests, pair)
    if any(done):
        add(Column("Correction"), done)
    return heads, cells


def shared_terms(tests: Sequence[Test], names: Iterable[str]) -> dict[str, str]:
    """
    Return a heading for each result: the standards' terms if the tests share them all.

    Else the terms without the effort; if those differ too, neutral ones throughout.
    """
    terms = {
        name: {dict(test.words)[name] for test in tests if name in dict(test.words)}
        for name in names
    }
    for sets in (terms, {name: map(without_effort, terms[name]) for name in terms}):
        shared = {name: set(found) for name, found in sets.items()}
        if all(len(found) == 1 for found in shared.values()):
            return {name: found.pop() for name, found in shared.items()}
    return {name: result_title(name) for name in terms}


EFFORT = re.compile(r"\b(standard|modified) ", re.IGNORECASE)
"""The compactive effort in a term of ASTM D698 and D1557."""


def without_effort(term: str) -> str:
    """
    Return a term without the compactive effort.

    >>> without_effort("Modified optimum water content")
    'Optimum water content'
    """
    bare = EFFORT.sub("", term)
    return bare[:1].upper() + bare[1:]
