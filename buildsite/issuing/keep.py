"""Writing the files of a plan, in one commit of their own."""

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
    """Return the commit's message: revisions, authority, reason."""
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
    """Write a plan's files, all or none, and commit them; return the commit's id."""
    new = {name for name in plan.files if name.endswith((".html", ".json", ".pdf"))}
    there = sorted(name for name in new if (plan.root / name).exists())
    there += differing(plan.root, dict.fromkeys(sorted(new - set(there))))
    if there:
        raise Refused(
            f"{name} exists, but no item names it: an issue was interrupted. Delete "
            "the file, then issue again."
            for name in there
        )
    if not committing:
        write_files(plan.root, plan.files)
        return ""
    sign = plan.archive().signs_edits()
    with locked(plan.root):
        if head(plan.root) != plan.head:
            raise EnvironmentFault(
                "Somebody else made a commit in the meantime.",
                "Check what changed, then run this again.",
            )
        words = message(plan)
        return commit(plan.root, plan.files, words, sign=sign)
