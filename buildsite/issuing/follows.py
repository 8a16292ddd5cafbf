"""What an issue does to the verdicts that rest on it, told before it is done."""

from buildsite.archive.archive import Archive
from buildsite.archive.follows import follows
from buildsite.issuing.plan import Plan
from buildsite.kinds.follows import Follow


def follows_of_plan(plan: Plan) -> tuple[Follow, ...]:
    """
    Return every verdict that rests on what a plan issues; flips first.

    A first issue is told of only where it moves something.
    """
    told = [one for one in plan.issues if one.order.sort != "assessment"]
    found = follows(before(plan), plan.archive(), [one.outcome.file for one in told])
    amends = any(one.amendment is not None for one in told)
    moves = any(one.flipped or one.old_percent != one.new_percent for one in found)
    return found if amends or moves else ()


def before(plan: Plan) -> Archive:
    """Return the archive as it stands before a plan is carried out."""
    return Archive(
        plan.names,
        plan.stands_now,
        issued=plan.listing.issued,
        shared=plan.shared,
    )
