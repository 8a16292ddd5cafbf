"""
Writing a reading into a record's text: every other byte stays.

`set_field` sets fields that are in the text. Here absent ones are added: a name in a
mapping, a line at the end of a list; and blank lines are removed from a list. The new
text is read again and compared with the old.
"""

from collections.abc import Sequence
from typing import Any

from buildsite.record.compose import Tree
from buildsite.record.flags import Field, field_label, field_path
from buildsite.record.set_field import CannotAmend, Span, prove_change, set_in, spans_of
from buildsite.record.source import Source
from buildsite.record.typed import without_blanks

Spans = dict[Field, Span]


def set_reading(source: Source, field: Field, value: str) -> bytes:
    """
    Return the text of a record with one field set. Raise CannotAmend if it can't be.

    Missing mappings on the path are added; the number after the last of a list adds a
    line. `value` is YAML on one line.
    """
    if not source.whole:
        raise CannotAmend(f"{source.file} can't be read.")
    text = source.data.decode()
    spans = spans_of(text)
    here, rest = split_way(source.tree, field)
    lines = value_at(source.tree, here)
    next_one = len(lines) if isinstance(lines, list) else 0
    if rest and isinstance(rest[0], int) and rest[0] > next_one:
        raise CannotAmend(f"{field_label((*here, next_one))} comes first: it is blank.")
    if not rest:
        made = replace_value(text, spans[here], value, here)
    elif len(here) == 1 and rest[0] == 0:  # a list of the record's own: line by line
        made = begin_list(text, spans[here], nested_text(rest[1:], value))
    elif value_at(source.tree, here) is None and here:
        made = replace_value(text, spans[here], nested_text(rest, value), here)
    elif isinstance(rest[0], int):
        made = add_line(text, spans, here, nested_text(rest[1:], value))
    else:
        made = add_name(text, spans, here, str(rest[0]), nested_text(rest[1:], value))
    return prove_change(source, made, lambda tree: set_in(tree, field, value))


def add_item(source: Source, lines: Field, item: Sequence[str], value: str) -> bytes:
    """
    Return the text of a record with an item of several lines at the end of a list.

    `value` is the same item on one line, as it is written in a list in brackets.
    """
    text, there = source.data.decode(), value_at(source.tree, lines)
    spans = spans_of(text)
    count = len(there) if there else 0
    if count and not spans[lines].flow:
        entries = entries_of(spans, lines)
        column = column_at(text, text.rfind("-", 0, entries[-1][1].key))
        made = insert_line(
            text, end_of(spans, entries[-1][0]), dashed(item, column) + "\n"
        )
    elif not count and len(lines) == 1 and lines in spans:
        made = begin_list(text, spans[lines], "\n    ".join(item))
    elif not count and len(lines) == 1:
        ended = text if text.endswith("\n") else f"{text}\n"
        made = f"{ended}{lines[0]}:\n{dashed(item, 2)}\n"
    else:
        return set_reading(source, (*lines, count), value)
    return prove_change(source, made, lambda tree: set_in(tree, (*lines, count), value))


def dashed(item: Sequence[str], column: int) -> str:
    """
    Return an item of a list on several lines, its dash at a column.

    >>> print(dashed(["- bag: 14", "sand: lot 1"], 0))
    - - bag: 14
      sand: lot 1
    """
    return f"{' ' * column}- " + f"\n{' ' * (column + 2)}".join(item)


def split_way(tree: Tree, field: Field) -> tuple[Field, Field]:
    """Split a path into the part that is in the text and the rest."""
    here: Any = tree
    for depth, part in enumerate(field):
        known = part in here if isinstance(here, dict) else False
        if isinstance(here, list) and isinstance(part, int):
            known = part < len(here)
        if not known:
            return field[:depth], field[depth:]
        here = here[part]
    return field, ()


def value_at(tree: Tree, field: Field) -> Any:
    """Return the value at a path; None if it is absent."""
    here: Any = tree
    for part in field:
        if isinstance(here, dict):
            here = here.get(part)
        elif isinstance(here, list) and isinstance(part, int) and part < len(here):
            here = here[part]
        else:
            return None
    return here


def nested_text(rest: Field, value: str) -> str:
    """
    Return a value inside the missing part of a path, in braces and brackets.

    >>> [nested_text(way, "8") for way in (("oven", "in"), (0, "mass"), ())]
    ['{oven: {in: 8}}', '[{mass: 8}]', '8']
    """
    for part in reversed(rest):
        value = f"[{value}]" if isinstance(part, int) else f"{{{part}: {value}}}"
    return value


def replace_value(text: str, span: Span, value: str, field: Field) -> str:
    """Replace a value, or fill a blank one."""
    if span.blank:
        return f"{text[: span.start]} {value}{take_blanks(text[span.start :], value)}"
    if not span.flow:
        raise CannotAmend(f"{field_path(field)} is written over several lines.")
    ended = text[span.start : span.end].endswith("\n")  # a text of several lines
    return text[: span.start] + value + "\n" * ended + text[span.end :]


def take_blanks(rest: str, value: str) -> str:
    """
    Remove the spaces that a value filled from the text after it, so that it lines up.

    >>> take_blanks(" , by: }", "1"), take_blanks("        # as weighed", "4.41")
    (', by: }', '   # as weighed')
    """
    after = rest.lstrip(" ")
    blanks = len(rest) - len(after)
    if after.startswith((",", "}", "]")):
        return after
    if after.startswith("#"):
        return " " * max(blanks - len(value) - 1, 1) + after
    return rest


def entries_of(spans: Spans, here: Field) -> list[tuple[Field, Span]]:
    """Return the direct entries of a mapping or a list, in the order of the text."""
    return [
        (field, span)
        for field, span in sorted(spans.items(), key=lambda item: item[1].key)
        if len(field) == len(here) + 1 and field[: len(here)] == here
    ]


def add_name(text: str, spans: Spans, here: Field, name: str, value: str) -> str:
    """Add a name and its value at the end of a mapping."""
    there = entries_of(spans, here)
    if here and spans[here].flow:
        return add_in_flow(text, spans[here], there, f"{name}: {value}")
    last = end_of(spans, there[-1][0])
    line = f"{' ' * column_at(text, there[-1][1].key)}{name}: {value}\n"
    return insert_line(text, last, line)


def add_line(text: str, spans: Spans, here: Field, value: str) -> str:
    """Add a line at the end of a list."""
    there = entries_of(spans, here)
    if spans[here].flow:
        return add_in_flow(text, spans[here], there, value)
    start = there[-1][1].key
    dash = text.rfind("-", 0, start)
    line = f"{' ' * column_at(text, dash)}- {value}\n"
    return insert_line(text, end_of(spans, there[-1][0]), line)


def begin_list(text: str, empty: Span, value: str) -> str:
    """Add the first line of a list that was blank, or `[]`."""
    text = text[: empty.start].rstrip(" ") + text[empty.end :]
    return insert_line(text, empty.start, f"  - {value}\n")


def add_in_flow(
    text: str, whole: Span, there: list[tuple[Field, Span]], entry: str
) -> str:
    """Add an entry after the last one in brackets or braces."""
    if not there:
        return text[: whole.end - 1] + entry + text[whole.end - 1 :]
    last = there[-1][1]
    lead = " , " if last.blank else ", "  # a comma right after `name:` is misread
    return f"{text[: last.end]}{lead}{entry}{take_blanks(text[last.end :], '')}"


def end_of(spans: Spans, field: Field) -> int:
    """Return the end of the last value in a field, at any depth."""
    depth = len(field)
    return max(
        span.end if span.flow else span.start
        for inner, span in spans.items()
        if inner[:depth] == field
    )


def column_at(text: str, spot: int) -> int:
    """Return the column of a place, from 0."""
    return spot - (text.rfind("\n", 0, spot) + 1)


def insert_line(text: str, spot: int, line: str) -> str:
    """Insert a line after the one in which a value ends, and its comment."""
    if spot and text[spot - 1] == "\n":  # a text of several lines ends with its last
        return text[:spot] + line + text[spot:]
    end = text.find("\n", spot)
    if end < 0:
        return f"{text}\n{line}"
    return text[: end + 1] + line + text[end + 1 :]


def without_blank_lines(source: Source, field: Field, least: int = 0) -> bytes:
    """Remove the blank lines at the end of a list, but keep `least` of its lines."""
    lines = value_at(source.tree, field)
    kept = len(lines) if isinstance(lines, list) else 0
    while kept > least and not without_blanks({"line": lines[kept - 1]}):
        kept -= 1
    if not isinstance(lines, list) or kept == len(lines) or not kept:
        return source.data
    text = source.data.decode()
    spans = spans_of(text)
    if spans[field].flow:
        start = spans[*field, kept - 1].end
        end = spans[*field, len(lines) - 1].end
    else:
        start = next_line(text, end_of(spans, (*field, kept - 1)))
        end = next_line(text, end_of(spans, (*field, len(lines) - 1)))

    def shortened(tree: Tree) -> None:
        del value_at(tree, field)[kept:]

    return prove_change(source, text[:start] + text[end:], shortened)


def next_line(text: str, spot: int) -> int:
    """Return the beginning of the next line."""
    if spot and text[spot - 1] == "\n":
        return spot
    end = text.find("\n", spot)
    return len(text) if end < 0 else end + 1
