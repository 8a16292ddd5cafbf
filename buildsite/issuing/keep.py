"""Keep what was planned: written whole, in one commit that holds nothing else."""

from buildsite.errors import EnvironmentFault
from buildsite.files import write_files
from buildsite.history.commit import commit, differing, head, message_of
from buildsite.history.lock import locked
from buildsite.issuing.plan import Plan
from buildsite.issuing.refused import Refused

VERBS = {
    "report": "Issue",
    "preliminary": "Issue, preliminary,",
    "withdrawal": "Withdraw",
    "assessment": "Assess",
}


def message(plan: Plan) -> str:
    """What the commit says: which revisions, by whose authority, why."""
    numbers = ", ".join(issue.number for issue in plan.issues)
    return message_of(
        f"{VERBS[plan.order.sort]} {numbers}",
        [
            ("Issued", numbers),
            ("Authorized-by", plan.order.by),
            ("Reason", plan.order.reason),
        ],
    )


def keep(plan: Plan, *, committing: bool = True) -> str:
    """
    Write a plan's files, and commit them unless told not to.

    Returns
    -------
    str
        The commit's id; empty without one.

    Raises
    ------
    Refused
        If a file stands where one would be kept.
    EnvironmentFault
        If they can't be written or committed: then nothing is left of them.
    """
    new = {name for name in plan.files if name.endswith((".html", ".json"))}
    there = sorted(name for name in new if (plan.root / name).exists())
    there += differing(plan.root, dict.fromkeys(sorted(new - set(there))))
    if there:
        raise Refused(
            f"{name} is there already, and no item names it: an issue was cut short. "
            "Take it away, then issue again."
            for name in there
        )
    if not committing:
        write_files(plan.root, plan.files)
        return ""
    sign = plan.archive().signs_edits()
    with locked(plan.root):
        if head(plan.root) != plan.head:
            raise EnvironmentFault(
                "Somebody else committed while this was made ready.",
                "Look at what stands now, and run this again.",
            )
        words = message(plan)
        return commit(plan.root, plan.files, words, sign=sign)
