"""
A printed working, worked again by hand: each line of a page is read and evaluated.

Nothing of the program is used: the text that a reader sees is arithmetic, and units are
brought to SI by factors of NIST Special Publication 811 (2008), appendix B.
"""

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from html.parser import HTMLParser

POUND, FOOT = 0.45359237, 0.3048
GRAVITY = 9.80665
UNITS = {
    "kg/m³": 1.0,
    "Mg/m³": 1000.0,
    "g/cm³": 1000.0,
    "lb/ft³": POUND / FOOT**3,
    "lbf/ft³": POUND / FOOT**3,
    "kN/m³": 1000 / GRAVITY,
    "g": 0.001,
    "kg": 1.0,
    "lb": POUND,
    "cm³": 1e-6,
    "m³": 1.0,
    "ft³": FOOT**3,
    "L": 0.001,
    "mL": 1e-6,
    "mm": 0.001,
    "cm": 0.01,
    "m": 1.0,
    "in.": 0.0254,
}
FUNCTIONS = {"sqrt": math.sqrt, "exp": math.exp, "ln": math.log}
NUMBER = re.compile(r"(?<![\w.])(\d+(?:\.\d+)?)(?:\u00a0([^\s)]+))?")
EQUALS = " = "
STEP = re.compile(r"Rounded to ([\d.]+)(?!\d| significant)")


@dataclass
class Line:
    """One line of a working as printed."""

    anchor: str
    step: str
    label: str = ""
    sum: str = ""
    told: str = ""
    notes: str = ""  # of its step
    links: list[tuple[str, str]] = field(default_factory=list)  # text, address

    @property
    def parts(self) -> list[str]:
        """What stands between the signs of equality."""
        return [part.strip() for part in self.sum.split(EQUALS)]


class Reader(HTMLParser):
    """The lines of every step of a page, and the lines of the record."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.lines: list[Line] = []
        self.record: dict[str, str] = {}
        self._step = self._into = self._record = ""
        self._inside: list[str] = []
        self._list = self._notes = ""
        self._noting = False
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        found = {name: value or "" for name, value in attrs}
        name = found.get("class", "")
        if tag == "section" and name == "step":
            self._step = found["id"]
        elif tag in ("ul", "ol"):
            self._list = name
        elif tag == "li":
            self._item(found.get("id", ""))
        elif name in ("label", "sum", "told"):
            self._into = name
        elif tag == "a" and self._into and self.lines:
            self.lines[-1].links.append(("", found.get("href", "")))
            self._inside.append("a")
        elif tag == "p" and name == "note":
            self._noting = True
        elif tag == "sup":
            self.handle_data("**(")

    def _item(self, id: str) -> None:
        if self._list == "worked":
            self.lines.append(Line(id, self._step))
        elif self._list == "record":
            self._record = id
            self.record[id] = ""

    def handle_endtag(self, tag: str) -> None:
        if tag == "section":
            for line in self.lines:
                line.notes = line.notes or self._notes * (line.step == self._step)
            self._notes = ""
        elif tag == "p":
            self._noting = False
        if tag == "li":
            self._into = self._record = ""
        elif tag in ("ul", "ol"):
            self._list = ""
        elif tag == "a" and self._inside:
            self._inside.pop()
        elif tag == "sup":
            self.handle_data(")")

    def handle_data(self, data: str) -> None:
        if self._noting:
            self._notes += data
        if self._record:
            self.record[self._record] += data
        elif self._into and self.lines and self._list == "worked":
            line = self.lines[-1]
            setattr(line, self._into, getattr(line, self._into) + data)
            if self._inside:
                text, href = line.links[-1]
                line.links[-1] = (text + data, href)


def evaluated(text: str) -> float:
    """A printed sum, in SI; percents are bare numbers."""

    def in_si(match: re.Match[str]) -> str:
        number, unit = match.group(1), match.group(2) or ""
        return f"({number}*{UNITS[unit]!r})" if unit in UNITS else number

    plain = NUMBER.sub(in_si, text.replace("−", "-").replace("×", "*"))
    plain = plain.replace("√", "sqrt").replace("π", repr(math.pi))
    return float(eval(plain, {"__builtins__": {}}, FUNCTIONS))  # noqa: S307


def uncertain(text: str) -> float:
    """How far a printed sum may be off, as its numbers are printed to some digits."""
    found, exact = 0.0, evaluated(text)
    for match in NUMBER.finditer(text):
        digits = match.group(1)
        whole, _, part = digits.partition(".")
        if len((whole + part).lstrip("0")) < 7:
            continue  # a reading, or a constant: exact
        more = f"{float(digits) + 0.5 * 10.0 ** -len(part):.12f}"
        nudged = text[: match.start(1)] + more + text[match.end(1) :]
        found += abs(evaluated(nudged) - exact)
    return found


def quantity(text: str) -> float:
    """A printed result in SI: a number with its unit."""
    number, _, unit = (
        text.strip().replace("−", "-").replace("\u00a0", " ").partition(" ")
    )
    return float(number) * UNITS.get(unit, 1.0)


def is_sum(line: Line) -> bool:
    """Whether a line has values put in, and not a list of them (`weight = 1`)."""
    return len(line.parts) > 1 and ";" not in line.parts[0]


def faults(reader: Reader) -> Iterator[str]:
    """Each line that a person would not get, or whose links tell something else."""
    by_anchor = {line.anchor: line for line in reader.lines}
    for line in reader.lines:
        where = f"{line.step} {line.anchor}: {line.sum}"
        values = line.parts if is_sum(line) else line.parts[-1:]
        if ";" not in line.sum:
            wanted = quantity(values[1] if is_sum(line) else values[0])
            found = evaluated(values[0]) if is_sum(line) else wanted
            others = [quantity(text) for text in values[2:]]
            off = uncertain(values[0]) if is_sum(line) else 0.0
            for one in (found, *others):
                if abs(one - wanted) > off + 1e-7 * abs(wanted) + 1e-9:
                    yield f"{where}: {one} is not {wanted}"
        for text, href in line.links:
            number = text.partition("\u00a0")[0].replace("−", "-")
            target = href.removeprefix("#")
            if target in reader.record and number not in reader.record[target]:
                yield f"{where}: {number} is not in {target}"
            from_ = by_anchor.get(target)
            given = f"{from_.sum} {from_.told}".replace("−", "-") if from_ else number
            if number not in given:
                yield f"{where}: {number} is not what {target} gives"
        yield from told_faults(line, where)


def told_faults(line: Line, where: str) -> Iterator[str]:
    """What is said to be reported, held against what is printed unrounded."""
    if not line.told:
        return
    text = line.told.removeprefix(" ").removeprefix("reported ").replace("−", "-")
    number, _, unit = text.replace("\u00a0", " ").partition(" ")
    printed = [part.replace("\u00a0", " ").split(" ", 1) for part in line.parts]
    same = [one[0] for one in printed if len(one) > 1 and one[1] == unit]
    exact = quantity(line.parts[1] if is_sum(line) else line.parts[0])
    shown = exact / UNITS.get(unit, 1.0)
    if same:  # printed in that unit: a half is exactly a half
        shown = float(same[-1].replace("−", "-"))
    step = STEP.search(line.notes)
    half = (
        float(step.group(1)) / 2
        if step
        else 0.5 * 10.0 ** -len(number.partition(".")[2])
    )
    if "is rounded to 0.1\u00a0% first" in line.notes:
        half += 0.05
    if abs(float(number) - shown) > half * (1 + 1e-6):
        yield f"{where}: {shown} is not reported as {number}"
