"""What the reader refuses in a file, before any kind of record is known."""

from dataclasses import field
from typing import NamedTuple

from buildsite.record.flags import Field, Flag, Known, Severity
from buildsite.values import dataclass

FORMAT = "record format 1"
CHARACTERS = "YAML 1.2.2, section 5.1"
ENCODING = "YAML 1.2.2, section 5.2"
UNIQUE = "YAML 1.2.2, section 3.2.1.1"
MOST_FAULTS = 100

Place = tuple[int, int]
"""Line and column, both from 1; the column counts characters."""


class Fault(NamedTuple):
    """
    A fault of a file or a field: its flag, what it rests on, what it says.

    All are errors: a record with one of them is not computed. `expected` and `mend`
    are those of the flag where they do not hang on the field.
    """

    flag: str
    says: str
    expected: str = ""
    mend: str = ""
    basis: str = FORMAT

    @property
    def known(self) -> Known:
        """The fault as the list of checks shows it."""
        return Known(self.flag, Severity.ERROR, self.basis, self.says)


_ONE_MEANING = "values written out where they stand"

_FILE = (
    Fault(
        "symbolic-link",
        "A link stands under records/ in place of a file or folder.",
        "a file or a folder of its own",
        "put the file itself here: a link's target is not in git",
    ),
    Fault(
        "wrong-suffix",
        "A record's file name ends in .yml, not .yaml.",
        "a name ending in .yaml",
        "rename it with `git mv`: as it stands it is not read",
    ),
    Fault(
        "bad-file-name",
        "A file's name cannot be a record's id.",
        "letters, digits, . - _, at most 64, letter or digit first, "
        "not ending in .issued or .r and a number",
        "rename the file with `git mv`, and its id with it",
    ),
    Fault(
        "same-name",
        "Two names differ only by capital and small letters.",
        "names that differ in more than capital and small letters",
        "give one of the two another id: some disks cannot hold both",
    ),
    Fault(
        "unreadable-file",
        "A file under records/ cannot be read.",
        "a file that may be read",
        "look at its permissions",
    ),
    Fault(
        "too-large",
        "A record is larger than 1 MiB.",
        "at most 1 MiB",
        "keep photographs and data loggers' files beside the record, not in it",
    ),
    Fault(
        "not-utf-8",
        "A record holds bytes that are not UTF-8.",
        "UTF-8 text",
        "set the editor's encoding to UTF-8, mend this letter, and save",
        basis=ENCODING,
    ),
    Fault(
        "byte-order-mark",
        "A record begins with a byte order mark.",
        "UTF-8 without a byte order mark",
        "save it as UTF-8, without BOM or signature",
    ),
    Fault(
        "carriage-return",
        "A line ends as on Windows, or with a lone carriage return.",
        "lines that end in a line feed alone",
        "set the editor's line ends to LF, and save",
    ),
    Fault(
        "tab",
        "A record holds a tab.",
        "spaces",
        "set the editor to write spaces for tabs, and replace those there are",
    ),
    Fault(
        "control-character",
        "A record holds a character that no one can see.",
        "characters that show",
        "delete it, and type what stands around it again",
        basis=CHARACTERS,
    ),
    Fault(
        "merge-conflict",
        "Git's marks of a conflict were left in a record.",
        "one version of each line",
        "keep the lines that are right, then delete the three marks",
    ),
    Fault(
        "too-many-faults",
        "A file has so many faults that reading stopped.",
        f"at most {MOST_FAULTS}",
        "mend those above, then check again",
    ),
)

_YAML = (
    Fault(
        "yaml-syntax",
        "The text cannot be read as YAML.",
        "a mapping of fields, one `name: value` to a line",
        basis="YAML 1.1",
    ),
    Fault(
        "not-a-mapping",
        "A record is not one mapping of fields.",
        "one mapping of fields",
        "write `name: value`, a line for each field",
    ),
    Fault(
        "several-documents",
        "A record holds more than one YAML document.",
        "one document",
        "give each record its own file, and delete this line",
    ),
    Fault(
        "directive",
        "A record holds a YAML directive, a line that begins with %.",
        "no directive",
        "delete the line",
    ),
    Fault(
        "duplicate-key",
        "A field is written twice.",
        "each field once",
        "keep the line that is right",
        basis=UNIQUE,
    ),
    Fault(
        "bad-key",
        "A field's name is not a text of one line.",
        "a field's name",
        "write `name: value`",
    ),
    Fault(
        "anchor",
        "A value carries an anchor, &name.",
        _ONE_MEANING,
        "delete the &name; put text that begins with & between quotes",
    ),
    Fault(
        "alias",
        "A value refers to another by an alias, *name.",
        _ONE_MEANING,
        "write the value itself; put text that begins with * between quotes",
    ),
    Fault(
        "merge-key",
        "A mapping takes fields from another by <<.",
        _ONE_MEANING,
        "write the fields themselves",
    ),
    Fault(
        "tag",
        "A value carries a tag, !name.",
        "a value without a tag",
        "delete the !name; put text that begins with ! between quotes",
    ),
    Fault(
        "not-a-number",
        "A value is written nan or inf.",
        "a number, or nothing",
        "leave the value blank if it was not read; put a name between quotes",
    ),
    Fault(
        "too-deep",
        "Mappings and lists stand more than 20 levels deep.",
        "at most 20 levels of mappings and lists",
        "look for brackets too many, or an indentation that went astray",
    ),
)

_SHAPE = (
    Fault("missing-field", "A field that the kind needs is absent or blank."),
    Fault("unknown-field", "A field's name is not one that the kind knows."),
    Fault("wrong-shape", "A text, a list or a mapping stands for another."),
    Fault("not-a-reading", "A number is not written in plain digits."),
    Fault("not-a-count", "A whole number is not written in digits alone."),
    Fault("not-a-date", "A day or a time is not written in full."),
    Fault("not-a-choice", "A word is not one of those offered."),
    Fault("not-text", "A text is blank, or is a list or a mapping."),
    Fault("not-a-code", "A person is not given by a staff code."),
    Fault("not-an-id", "A name cannot be the id of a record."),
    Fault("not-a-digest", "A digest is not the 64 digits of a SHA-256."),
    Fault("out-of-range", "A number is below or above what the field allows."),
    Fault("wrong-length", "A list has too few or too many entries."),
    Fault("wrong-value", "A value breaks a rule of its kind."),
)

FAULTS: tuple[Fault, ...] = (*_FILE, *_YAML, *_SHAPE)
"""Every flag a file can raise by its form alone, in the order they are looked for."""

_BY_FLAG = {fault.flag: fault for fault in FAULTS}


class StopReading(Exception):
    """The rest of a file cannot be read; its fault is already written down."""


@dataclass
class Faults:
    """The faults of one file, as they are found."""

    file: str
    flags: list[Flag] = field(default_factory=list)

    def add(
        self,
        name: str,
        place: Place,
        found: str,
        at: Field = (),
        *,
        expected: str = "",
        mend: str = "",
    ) -> None:
        """
        Write a fault down.

        Raises
        ------
        StopReading
            After a hundred faults: so broken a file tells nothing more.
        """
        if len(self.flags) == MOST_FAULTS and name != "too-many-faults":
            self.add("too-many-faults", place, f"more than {MOST_FAULTS} faults")
            raise StopReading
        fault = _BY_FLAG[name]
        self.flags.append(
            Flag(
                flag=name,
                severity=Severity.ERROR,
                basis=fault.basis,
                file=self.file,
                line=place[0],
                column=place[1],
                field=at,
                found=found,
                expected=expected or fault.expected,
                mend=mend or fault.mend,
            )
        )

    def sorted(self) -> tuple[Flag, ...]:
        """Return them by line."""
        return tuple(sorted(self.flags, key=lambda flag: flag.order))
