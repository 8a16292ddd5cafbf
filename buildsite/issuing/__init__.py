"""Issue, withdraw, assess and review: what may be, what is kept, in one commit."""

from buildsite.issuing.keep import keep
from buildsite.issuing.plan import Issue, Plan, planned
from buildsite.issuing.refused import Refused
from buildsite.issuing.review import Review, reviewed

__all__ = ["Issue", "Plan", "Refused", "Review", "keep", "planned", "reviewed"]
