"""
What the search finds besides tests: samples, soils, places, equipment, people …

Of a released site everything is made from the rows of issued tests, as all its index
pages are.
"""

from collections.abc import Iterable, Iterator, Sequence
from urllib.parse import urlencode

from buildsite.archive.check_catalogue import catalogue
from buildsite.archive.due_dates import describe_equipment
from buildsite.archive.identity import name_of
from buildsite.kinds.methods import designations, title_of
from buildsite.kinds.sheet import Target
from buildsite.pages.field.zone_references import pair_text, pairs_by_zone
from buildsite.pages.indexes.families import families_of, family_id
from buildsite.pages.indexes.index_context import IndexContext
from buildsite.pages.indexes.overview import lifts_of
from buildsite.pages.indexes.records import files_with_page, samples_in
from buildsite.pages.indexes.released import sheet_of
from buildsite.pages.links import navigation, soil_folder
from buildsite.pages.rows import Row
from buildsite.values import dataclass

CHECK = "Check"
"""Checks are searched, and have a list of their own."""


@dataclass(frozen=True)
class Thing:
    """Something with a page, or with tests to be listed: `words` also find it."""

    what: str
    name: str
    about: str
    to: Target
    words: str = ""


def things(context: IndexContext) -> list[Thing]:
    """Return everything but tests that is searched, by its name."""
    found = [
        *pages(context),
        *projects(context),
        *soils(context),
        *samples(context),
        *places(context),
        *zones(context),
        *families(context),
        *standards(),
        *checks(),
    ]
    if not context.site.options.release:
        found += [*equipment(context), *people(context)]
    return sorted(found, key=lambda one: (one.name.casefold(), one.what, one.about))


def find(**asked: str) -> Target:
    """
    Return the list of all tests as a target, asked for some.

    >>> find(q="borrow pit 1")
    ('find', 'q=borrow+pit+1')
    """
    return ("find", urlencode(asked))


def pages(context: IndexContext) -> Iterator[Thing]:
    """Return the parts of the site."""
    for label, path in navigation(release=context.site.options.release):
        folder = path.rpartition("/")[0]
        if folder != "search":
            yield Thing("Page", label, "", ("page", folder))


def counted(number: int, one: str) -> str:
    """
    Return a number of things in words.

    >>> counted(1, "test"), counted(12, "test")
    ('1 test', '12 tests')
    """
    return f"{number} {one}{'' if number == 1 else 's'}"


def project_ids(context: IndexContext) -> list[str]:
    """Return the projects that have a page."""
    if not context.site.options.release:
        return [id for _, id in files_with_page(context, "project")]
    return sorted({row.project for row in context.rows})


def projects(context: IndexContext) -> Iterator[Thing]:
    """Return each project, and its field control."""
    release = context.site.options.release
    for id in project_ids(context):
        tests = context.tests("project", id)
        if release:
            name = sheet_of(tests, "project", id).title
        else:
            about_it = context.records(id).project
            name = about_it.name if about_it is not None else ""
        about = ", ".join(filter(None, (name, counted(len(tests), "test"))))
        yield Thing("Project", id, about, ("project", id))
        if lifts_of(context, id):
            words = "lifts verdicts acceptance"
            yield Thing("Field control", id, name, ("field", id), words)


@dataclass(frozen=True)
class Sampled:
    """What is known of a sample."""

    id: str
    project: str
    soil: str = ""
    class_: str = ""
    source: str = ""
    place: str = ""


def sampled(context: IndexContext) -> list[Sampled]:
    """Return the samples that have a page."""
    if context.site.options.release:
        last: dict[str, Row] = {row.sample: row for row in context.rows if row.sample}
        return [
            Sampled(
                id,
                row.project,
                row.soil_name,
                row.soil_class,
                row.source,
                row.sampled_at,
            )
            for id, row in sorted(last.items())
        ]
    return [
        Sampled(
            one.id, one.file.split("/")[1], one.soil, one.class_, one.source, one.place
        )
        for one in samples_in(context)
        if one.page
    ]


def samples(context: IndexContext) -> Iterator[Thing]:
    """Return each sample, found by its soil and place too."""
    for one in sampled(context):
        source = "" if one.source in one.place else one.source
        about = (f"{one.class_} {one.soil}".strip(), source, one.place)
        text = ", ".join(dict.fromkeys(filter(None, about)))
        yield Thing("Sample", one.id, text, ("sample", one.id), one.project)


def soils(context: IndexContext) -> Iterator[Thing]:
    """Return each soil class with the names of its soils."""
    names: dict[str, set[str]] = {}
    said = [(one.class_, one.soil) for one in sampled(context)]
    said += [(row.soil_class, row.soil_name) for row in context.rows]
    for class_, name in said:
        if class_:
            names.setdefault(soil_folder(class_), set()).add(name)
    for folder, found in sorted(names.items()):
        about = ", ".join(sorted(found - {""}))
        yield Thing("Soil class", folder, about, ("soil", folder))


def places(context: IndexContext) -> Iterator[Thing]:
    """Return each place that soil came from, with its samples."""
    found: dict[str, list[str]] = {}
    for one in sampled(context):
        for place in dict.fromkeys(filter(None, (one.source, one.place))):
            found.setdefault(place, []).append(one.id)
    for place, ids in sorted(found.items()):
        yield Thing("Place", place, some_of(ids), find(q=place))


SOME = 5
"""Samples named beside a place, and tests beside a zone."""


def some_of(ids: Sequence[str]) -> str:
    """
    Return some names, and how many there are.

    >>> some_of(["a", "b"]), some_of(list("abcdefg"))
    ('a, b', 'a, b, c, d, e and 2 more')
    """
    text = ", ".join(ids[:SOME])
    return f"{text} and {len(ids) - SOME} more" if len(ids) > SOME else text


def zones(context: IndexContext) -> Iterator[Thing]:
    """Return each zone of a project's fill that a test names."""
    found: dict[tuple[str, str], int] = {}
    judged: dict[tuple[str, str], list[str]] = {}
    for project in project_ids(context):
        tests = context.tests("project", project)
        for zone, row in pairs_by_zone(tests, context.by_id):
            pairs = judged.setdefault((project, zone), [])
            pairs.append(f"{row.id} {pair_text(row)}")
    for row in context.rows:
        zone = row.zone if row.page else ""
        if zone:
            found[row.project, zone] = found.get((row.project, zone), 0) + 1
    for (project, zone), number in sorted(found.items()):
        by = some_of(judged.get((project, zone), []))
        by = by and f"judged by {by}"
        about = ", ".join(filter(None, (project, counted(number, "test"), by)))
        yield Thing("Zone", zone, about, find(project=project, zone=zone))


def families(context: IndexContext) -> Iterator[Thing]:
    """Return each family of curves."""
    for project in project_ids(context):
        for file, _ in families_of(context, project):
            id = family_id(file)
            yield Thing("Family of curves", name_of(file), project, ("family", id))


def standards() -> Iterator[Thing]:
    """Return each standard on file."""
    for designation in designations():
        title = title_of(designation)
        yield Thing("Standard", designation, title, ("method", designation))


def checks() -> Iterator[Thing]:
    """Return each check, found by what it looks for."""
    for flag, entries in catalogue().items():
        says = " ".join(dict.fromkeys(known.says for _, known in entries))
        yield Thing(CHECK, flag, says.replace("`", '"'), ("check", flag))


def equipment(context: IndexContext) -> Iterator[Thing]:
    """Return each piece of equipment."""
    archive = context.site.archive
    for file, id in files_with_page(context, "equipment"):
        made = archive.outcome(file)
        if made is None:
            yield Thing("Equipment", id, "", ("equipment", id))
            continue
        about = f"{made.kind.title}, {describe_equipment(made.case.record)}"
        yield Thing("Equipment", id, about.removesuffix(", "), ("equipment", id))


def people(context: IndexContext) -> Iterator[Thing]:
    """Return each person on the staff list by code, with the tests of each."""
    lab = context.site.lab
    tests: dict[str, int] = {}
    for row in context.rows:
        for code in row.people if row.page else ():
            tests[code] = tests.get(code, 0) + 1
    for code, who in sorted(lab.staff.items() if lab is not None else ()):
        about = [*who.roles, counted(tests.get(code, 0), "test")]
        words = who.name or ""
        yield Thing("Person", code, ", ".join(about), find(q=code), words)


def index_of(found: Iterable[Thing], most: int) -> list[Thing]:
    """
    Return what an index to be read lists.

    Checks have a page of their own; so have samples, where there are more than `most`
    entries with them.
    """
    kept = [one for one in found if one.what not in (CHECK, "Page")]
    if len(kept) > most:
        kept = [one for one in kept if one.what != "Sample"]
    return kept
