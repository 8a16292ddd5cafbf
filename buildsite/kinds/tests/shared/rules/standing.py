"""What a test was computed with: everything it names, or itself alone."""

from collections.abc import Iterator

from buildsite.kinds.tests.shared.record import AnyTest
from buildsite.record.flags import Doubt, Rule, Severity


def computed_alone(case: AnyTest) -> Iterator[Doubt]:
    """A record computed by itself: what it names was not looked up."""
    if case.inputs.alone:
        yield Doubt(
            field=(),
            found="a record by itself",
            expected="a record in its archive",
            mend="state what it needs in it, such as mold_volume or specific_gravity",
        )


RULES: tuple[Rule[AnyTest], ...] = (
    Rule("computed-alone", Severity.NOTE, "common practice", computed_alone),
)
