"""
Which answers have moved since the last build: asked again of a few, not of all.

What a build is made of has parts. A part that is as it was leaves the answers of its
sorts as they were; files are told by their states, as git does.
"""

from buildsite.building.answers import PARTS, Answers
from buildsite.cache.store import Store


def compare_all(store: Store, answers: Answers) -> None:
    """Find the answers that have moved, and the steps that asked for them."""
    for part, sorts in PARTS.items():
        if store.about.get(f"part {part}") != answers.parts[part]:
            for sort in sorts:
                compare_sort(store, answers, sort)
    for name in answers.inputs.states.moved:
        question = ("file", name)
        store.compare(question, answers(question))
    if answers.inputs.states.moved:
        compare_sort(store, answers, "word")


def compare_sort(store: Store, answers: Answers, sort: str) -> None:
    """Ask all questions of a sort again."""
    for id, question, answer in list(store.asked_of(sort)):
        now = answers(question)
        if now != answer:
            store.move(id, now)
