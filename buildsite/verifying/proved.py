"""
Issued items proved before in this clone: what `verify --against` believes.

A proof is of one commit by one program. What it rests on is in that commit and what it
came from, which git's own check of every object, made each time, shows to be what they
were. So nothing is believed of another commit, program, or library, nor where an item
is new. A run with a fault leaves no proof. Of the items believed some are drawn by lot
and proved again; should one come out otherwise, all is thrown away.

Who may write to git's folder can write a proof there. So this is believed only where
`--against` says what was published, and never in the workflows: an auditor verifies a
clone of their own, which has none.
"""

import json
import os
import sys
from collections.abc import Sequence
from dataclasses import asdict
from pathlib import Path

from buildsite import software
from buildsite.cache import proofs
from buildsite.errors import EnvironmentFault
from buildsite.history.run import git_folder
from buildsite.history.trees import place_in_repository
from buildsite.progress import Progress
from buildsite.record.canonical import digest
from buildsite.record.messages import counted
from buildsite.record.proof import Fault
from buildsite.values import dataclass
from buildsite.verifying.items import IssuedChain, Items
from buildsite.verifying.line import JudgedLine

FORMAT = 1
AGAIN = 3
"""Issued tests proved again of those believed."""


@dataclass
class Proof:
    """A proof that is kept or to be kept: of which question, and where."""

    place: Path
    asked: str
    items: Items

    def faults(self, progress: Progress, *, believes: bool) -> list[Fault]:
        """Return the faults of every item, from what was proved if that is believed."""
        said = proofs.said_of(self.place, self.asked) if believes and self.asked else ""
        known = told(said) if said else None
        if known is not None:
            self._believe(known, progress)
            return []
        progress.stage("drawing issued tests again", len(self.items.chains))
        found = list(self.items.faults(progress))
        if not found and self.items.recomputing.stopped is None and self.asked:
            proofs.keep(self.place, self.asked, self._written())
        return found

    def _written(self) -> str:
        made = self.items.recomputing
        return json.dumps(
            {
                "format": FORMAT,
                "notes": [asdict(one) for one in made.notes],
                "elsewhere": made.elsewhere,
                "undrawn": made.redrawing.undrawn,
                "drawn_here_by": made.redrawing.here(),
            }
        )

    def _believe(self, known: "Known", progress: Progress) -> None:
        """Take what was proved; prove some of it again."""
        made, some = self.items.recomputing, drawn(self.items.chains)
        progress.stage("drawing some issued tests again", len(some))
        found = list(self.items.faults(progress, some))
        ours = {one.test for one in some}
        notes = [one for one in known.notes if one.test in ours]
        if found or made.stopped or set(made.notes) != set(notes):
            proofs.forget(self.place)
            names = ", ".join(sorted(ours))
            raise EnvironmentFault(
                f"What was proved in this clone before differs now, of {names}.",
                "All that was kept is deleted now: run this again. Unless somebody "
                "wrote there by hand, it is a fault of this program; please report it.",
            )
        made.notes[:] = known.notes
        made.elsewhere = known.elsewhere
        made.redrawing.undrawn = known.undrawn
        tests = counted(len(self.items.chains), "issued test")
        made.believed = (
            f"{tests} proved in this clone before, at this commit and by this program, "
            f"were not made again, but for {len(some)} drawn by lot; --no-cache makes "
            "all again"
        )


@dataclass(frozen=True)
class Known:
    """What a proof told beside that there was no fault."""

    notes: Sequence[Fault]
    elsewhere: int
    undrawn: dict[str, str]


def told(said: str) -> Known | None:
    """Return what a proof told; None if it is not of this form or of other versions."""
    from buildsite.verifying.redrawn import versions_here

    try:
        content = json.loads(said)
        notes = [Fault(**one) for one in content["notes"]]
        known = Known(notes, int(content["elsewhere"]), dict(content["undrawn"]))
        by = content["drawn_here_by"]
    except (ValueError, TypeError, KeyError):
        return None
    same = by is None or by == versions_here()
    return known if content.get("format") == FORMAT and same else None


def drawn(chains: Sequence[IssuedChain]) -> list[IssuedChain]:
    """Return some issued tests, drawn by lot."""
    left = list(chains)
    return [
        left.pop(int.from_bytes(os.urandom(8)) % len(left))
        for _ in range(min(AGAIN, len(left)))
    ]


def proof_of(root: Path, items: Items, judged: JudgedLine) -> Proof:
    """Return the proof of every item; it asks nothing if it can't be kept."""
    place = proofs.place_in(git_folder(root))
    base = items.recomputing.base
    new = base is not None and any(
        base.is_new(chained.test, item.revision)
        for chained in items.chains
        for item in chained.issued.items
    )
    if new or judged.theirs is not None or judged.faults:
        return Proof(place, "", items)
    words = (
        items.head,
        judged.along,
        place_in_repository(root),
        items.recomputing.programs.running,
        software.libraries(),
        software.installed_from(),
        sys.version,
    )
    return Proof(place, digest("\0".join(words).encode()), items)
