"""Faults of a file or a field, found before any check of its kind is run."""

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
    A fault of a file or a field. All are errors: the record is not computed.

    `expected` and `mend` are blank where they depend on the field.
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


_ONE_MEANING = "each value written in full"

_FILE = (
    Fault(
        "symbolic-link",
        "A symbolic link under records/ in place of a file or folder.",
        "a file or a folder",
        "replace the link with the file itself: git doesn't store a link's target",
    ),
    Fault(
        "hidden-record",
        "A record in a folder whose name begins with a dot: it isn't read.",
        "a folder whose name doesn't begin with a dot",
        "move the file with `git mv` to a folder of its project, or out of records/",
    ),
    Fault(
        "wrong-suffix",
        "A record's file name that ends in .yml, not .yaml.",
        "a name ending in .yaml",
        "rename the file with `git mv`: under this name it isn't read",
    ),
    Fault(
        "bad-file-name",
        "A file name that is not a valid record id.",
        "letters, digits, . - _, at most 64, letter or digit first, "
        "not ending in .issued or .r and a number",
        "rename the file with `git mv`, and change its id",
    ),
    Fault(
        "same-name",
        "Two names that differ only in upper and lower case.",
        "names that differ in more than upper and lower case",
        "give one of the two another id: some disks can't hold both",
    ),
    Fault(
        "unreadable-file",
        "A file under records/ that cannot be read.",
        "a readable file",
        "check the file's permissions",
    ),
    Fault(
        "too-large",
        "A record larger than 1 MiB.",
        "at most 1 MiB",
        "keep photographs and data logger files beside the record, not in it",
    ),
    Fault(
        "not-utf-8",
        "Bytes in a record that are not UTF-8.",
        "UTF-8 text",
        "set the editor's encoding to UTF-8, correct this character, and save",
        basis=ENCODING,
    ),
    Fault(
        "byte-order-mark",
        "A byte order mark at the beginning of a record.",
        "UTF-8 without a byte order mark",
        "save the file as UTF-8 without BOM (or signature)",
    ),
    Fault(
        "carriage-return",
        "A line that ends with a carriage return, as on Windows.",
        "lines ending with a line feed only",
        "set the editor's line endings to LF, and save",
    ),
    Fault(
        "tab",
        "A tab in a record.",
        "spaces",
        "set the editor to insert spaces for tabs, and replace the existing tabs",
    ),
    Fault(
        "control-character",
        "An invisible character in a record.",
        "visible characters",
        "delete the character, and retype the text around it",
        basis=CHARACTERS,
    ),
    Fault(
        "merge-conflict",
        "Git's conflict markers in a record.",
        "one version of each line",
        "keep the correct lines, then delete the markers",
    ),
    Fault(
        "too-many-faults",
        "A file with so many faults that reading stopped.",
        f"at most {MOST_FAULTS} faults",
        "correct those above, then check again",
    ),
)

_YAML = (
    Fault(
        "yaml-syntax",
        "Text that cannot be read as YAML.",
        "a mapping of fields, one `name: value` per line",
        basis="YAML 1.1",
    ),
    Fault(
        "not-a-mapping",
        "A record that is not one mapping of fields.",
        "one mapping of fields",
        "write `name: value`, one line for each field",
    ),
    Fault(
        "several-documents",
        "More than one YAML document in a record.",
        "one document",
        "put each record in its own file, and delete this line",
    ),
    Fault(
        "directive",
        "A YAML directive in a record: a line that begins with %.",
        "no directive",
        "delete the line",
    ),
    Fault(
        "duplicate-key",
        "A field written twice.",
        "each field once",
        "keep the correct line, and delete the other",
        basis=UNIQUE,
    ),
    Fault(
        "bad-key",
        "A field name that is not text on one line.",
        "the name of a field",
        "write `name: value`",
    ),
    Fault(
        "anchor",
        "A value with an anchor, &name.",
        _ONE_MEANING,
        "delete the &name; put text that begins with & in quotes",
    ),
    Fault(
        "alias",
        "A value that refers to another by an alias, *name.",
        _ONE_MEANING,
        "write the value itself; put text that begins with * in quotes",
    ),
    Fault(
        "merge-key",
        "A mapping that takes fields from another with <<.",
        _ONE_MEANING,
        "write the fields themselves",
    ),
    Fault(
        "tag",
        "A value with a tag, !name.",
        "a value without a tag",
        "delete the !name; put text that begins with ! in quotes",
    ),
    Fault(
        "not-a-number",
        "A value written nan or inf.",
        "a number, or a blank",
        "leave the value blank if there is no reading; put a name in quotes",
    ),
    Fault(
        "too-deep",
        "Mappings and lists nested more than 20 levels deep.",
        "at most 20 levels of mappings and lists",
        "check for extra brackets or wrong indentation",
    ),
    Fault(
        "list-too-long",
        "A list of more than 5000 entries.",
        "at most 5000 entries",
        "keep the readings of one test in one record, and other tests in their own",
    ),
)

_SHAPE = (
    Fault("missing-field", "A required field absent or blank."),
    Fault("unknown-field", "A field not defined for this kind of record."),
    Fault("wrong-shape", "A field with a text, a list or a mapping in error."),
    Fault("not-a-reading", "A number not written in plain digits."),
    Fault("not-a-count", "A whole number not written in digits only."),
    Fault("not-a-date", "A date or a time not written in full."),
    Fault("not-a-choice", "A word that is not one of the choices for the field."),
    Fault("not-text", "A text that is blank, a list or a mapping."),
    Fault("not-a-code", "A person not identified by a staff code."),
    Fault("not-an-id", "A name that is not a valid record id."),
    Fault("not-a-digest", "A digest that is not the 64 digits of a SHA-256."),
    Fault("not-an-address", "An address of a site that is none."),
    Fault("out-of-range", "A number below or above the limits of the field."),
    Fault("wrong-length", "A list with too few or too many entries."),
    Fault("wrong-value", "A value not valid for this kind of record."),
)

FAULTS: tuple[Fault, ...] = (*_FILE, *_YAML, *_SHAPE)
"""Every fault of form, in the order of the checks."""

_BY_FLAG = {fault.flag: fault for fault in FAULTS}


class StopReading(Exception):
    """The rest of a file cannot be read; its fault is already recorded."""


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
        """Add a fault. Raise StopReading after a hundred of them."""
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
        """Return the faults by line."""
        return tuple(sorted(self.flags, key=lambda flag: flag.order))
