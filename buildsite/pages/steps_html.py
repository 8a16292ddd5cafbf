"""
Steps of a working, and the record that they start from, as HTML.

Not in a template: a page has a hundred lines, and a template takes three times as long.
"""

import re
from collections.abc import Callable, Iterator

from markupsafe import Markup

from buildsite.kinds.reporting import printed_unit
from buildsite.kinds.steps import Input, Line, Step, Steps
from buildsite.pages.formula import formula_math, put_in, symbol_html
from buildsite.pages.links import Links
from buildsite.pages.markup import attribute, escaped, keep_units, linked
from buildsite.record.flags import Field
from buildsite.record.units import UNITS
from buildsite.values import dataclass

LineOf = Callable[[Field], int]
"""Field of a record → its line."""

SHOWN_IN_FORMULAS = ("mass", "volume", "length", "density")
"""Quantities whose unit stands beside a value that is put in; percents stand bare."""

TAG = re.compile("<[^>]+>")

FIT_ON_A_PHONE = 24
"""Signs of a formula that stand on one line of 320 pixels; a longer one is scrolled."""


@dataclass(frozen=True)
class StepsBlock:
    """
    Steps under a heading.

    `line_of` finds the line of a reading, where the record stands on the page;
    `anchors` are the lines of all steps of the page.
    """

    steps: Steps
    anchors: frozenset[str]
    line_of: LineOf | None = None

    @property
    def name(self) -> str:
        """Id of the heading."""
        return self.steps.name

    @property
    def title(self) -> str:
        """The heading."""
        return self.steps.title


@dataclass(frozen=True)
class RecordBlock:
    """A record line by line, each with an anchor."""

    name: str
    title: str
    text: str
    about: str


def steps_rows(block: StepsBlock, links: Links) -> Markup:
    """Return the steps below a heading."""
    drawing = Drawing(block, links)
    texts = [f"<p>{escaped(keep_units(one))}</p>\n" for one in block.steps.paragraphs]
    texts += [text for step in block.steps.steps for text in drawing.step(step)]
    return Markup("".join(texts))  # noqa: S704 (all texts in it are escaped)


def record_rows(block: RecordBlock) -> Markup:
    """Return the lines of a record."""
    lines = "".join(
        f'<li id="L{number}"><code>{escaped(line)}</code></li>\n'
        for number, line in enumerate(block.text.rstrip("\n").split("\n"), 1)
    )
    html = f'<p>{escaped(block.about)}</p>\n<ol class="record">\n{lines}</ol>\n'
    return Markup(html)  # noqa: S704 (all texts in it are escaped)


def with_unit(text: str, unit: str) -> str:
    r"""
    Return a number with its unit, kept on one line.

    >>> with_unit("12.5", "kg/m3"), with_unit("12.5", "")
    ('12.5\xa0kg/m³', '12.5')
    """
    return f"{text}\u00a0{printed_unit(unit)}" if unit else text


def is_symbol(formula: str) -> bool:
    """
    Return whether a formula is a symbol alone: a value is taken over as it is.

    >>> is_symbol("w"), is_symbol("m / V"), is_symbol("")
    (True, False, False)
    """
    return formula.isidentifier()


def formula_html(math: str) -> str:
    r"""
    Return the line of a formula; one that a phone has to scroll takes the focus.

    >>> formula_html("<math><mi>w</mi></math>")
    '<div class="formula"><math><mi>w</mi></math></div>\n'
    """
    long = len(TAG.sub("", math)) > FIT_ON_A_PHONE
    scrolled = ' tabindex="0" role="group" aria-label="Formula"' if long else ""
    return f'<div class="formula"{scrolled}>{math}</div>\n'


@dataclass(frozen=True)
class Drawing:
    """The steps of one block, with the links of its page."""

    block: StepsBlock
    links: Links

    def step(self, step: Step) -> Iterator[str]:
        """Yield the HTML of one step."""
        yield f'<section class="step"{attribute("id", step.anchor)}>\n'
        yield f"<h3>{escaped(step.name)}</h3>\n"
        if step.formula and not is_symbol(step.formula):
            yield formula_html(formula_math(step.symbol, step.formula))
        if step.symbols:
            yield '<dl class="symbols">\n'
            for one in step.symbols:
                yield (
                    f"<div><dt>{symbol_html(one.symbol)}</dt>"
                    f"<dd>{escaped(self.meaning(one.words, one.value, one.unit))}</dd>"
                    "</div>\n"
                )
            yield "</dl>\n"
        yield '<ul class="worked">\n'
        for line in step.lines:
            yield self.line(step, line)
        yield "</ul>\n"
        notes = [escaped(keep_units(note)) for note in step.notes]
        if step.source:
            notes.append(f"Source: {escaped(step.source)}.")
        if step.to is not None and (href := self.links.to(step.to)):
            standard = step.to[1].partition("|")[0]
            notes.append(linked(f"{standard} on file", href) + ".")
        if notes:
            yield f'<p class="note">{" ".join(notes)}</p>\n'
        yield "</section>\n"

    def meaning(self, words: str, value: str, unit: str) -> str:
        """Return what a symbol is: its words, a constant's value, its unit."""
        of = f" {unit}" if unit else ""
        return f"{words}, {value}{of}" if value else f"{words},{of}" if unit else words

    def line(self, step: Step, line: Line) -> str:
        """Return one line: label, values put in, result, as reported."""
        label = f'<span class="label">{escaped(line.label)}</span> ' * bool(line.label)
        result = escaped(with_unit(line.value, line.unit))
        sums, also = self.sums(step, line), line.also
        if len(line.inputs) == 1 and not step.unlike and is_symbol(step.formula):
            (one,) = line.inputs  # taken over as it is: said once
            text = with_unit(one.value, one.unit)
            also = "" if also.replace(" ", "\u00a0") == text else also
            if text == with_unit(line.value, line.unit):
                sums, result = "", linked(text, self.href(one))
        equals = " = " if sums else ""
        also = f" = {escaped(keep_units(also))}" if also else ""
        told = (
            ' <strong class="told">reported '
            f"{escaped(keep_units(line.reported))}</strong>"
            if line.reported
            else ""
        )
        if line.note:
            told = f' <strong class="met">{escaped(keep_units(line.note))}</strong>'
        return (
            f'<li{attribute("id", line.anchor)}>{label}<span class="sum">{sums}'
            f"{equals}<b>{result}</b>{also}</span>{told}</li>\n"
        )

    def sums(self, step: Step, line: Line) -> str:
        """Return the values put in, each with a link to where it is from."""
        values = {one.symbol: self.value(one) for one in line.inputs}
        if step.unlike:
            given = "; ".join(
                f"{symbol_html(name)} = {value}" for name, value in values.items()
            )
            return f"{given}; {step.unlike.lower()}" if given else ""
        return put_in(step.formula, values) if step.formula and values else ""

    def value(self, one: Input) -> str:
        """Return a value that is put in."""
        known = UNITS.get(one.unit)
        shown = known is not None and known.quantity in SHOWN_IN_FORMULAS
        return linked(with_unit(one.value, one.unit if shown else ""), self.href(one))

    def href(self, one: Input) -> str:
        """Return where a value is from: a line of the record or page, another page."""
        if one.field and self.block.line_of is not None:
            return f"#L{self.block.line_of(one.field)}"
        if one.line in self.block.anchors:
            return f"#{one.line}"
        return self.links.to(one.to)
