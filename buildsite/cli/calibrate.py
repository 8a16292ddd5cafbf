"""`calibrate`: a new calibration of equipment, and the tests that follow from it."""

from collections.abc import Callable, Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import Any

import click

from buildsite.archive.archive import Archive
from buildsite.archive.calibration_effects import Affected, affected
from buildsite.archive.new_calibration import (
    COMMON,
    LEFT,
    calibrations_of,
    form_of,
    with_calibrations,
)
from buildsite.cli.calibrate_effects import effect_lines, go_through
from buildsite.cli.calibrate_occasions import WHAT, series_marked, take, what_words
from buildsite.cli.calibrate_prompts import ask_questions
from buildsite.cli.common import (
    archive_root,
    at_terminal,
    day_or_today,
    my_code,
    open_archive,
    option_of,
    refuse,
    root_option,
    unknown_id,
)
from buildsite.cli.prompts import ask_reason
from buildsite.entering.record_store import changed_since_commit, open_store
from buildsite.issuing.refused import without_authority
from buildsite.kinds import all_kinds
from buildsite.kinds.blank import Measured
from buildsite.kinds.outcome import Outcome
from buildsite.record.flags import Severity, new_flags
from buildsite.record.issued import quoted
from buildsite.record.reasons import A_REASON, is_reason
from buildsite.record.set_reading import set_reading

NOTHING = "Nothing was kept."


def question_options() -> dict[str, str]:
    """Return the option of every question of every kind of equipment, with its help."""
    found = {WHAT: what_words(all_kinds()), **{ask.name: ask.words for ask in COMMON}}
    for kind in all_kinds():
        for one in kind.measured or ():
            words = plain_words(one)
            found.setdefault(one.ask.name, words)
            found.setdefault(f"{LEFT}{one.ask.name}", f"As left: {words}")
        for occasion in kind.occasions:
            if occasion.part is not None:
                found.setdefault(occasion.part.name, occasion.part.words)
            for one in occasion.measured:
                found.setdefault(one.ask.name, plain_words(one))
    return found


def plain_words(one: Measured) -> str:
    """Return the words of a question without braces around its unit."""
    return one.ask.words.replace("{", "").replace("}", "")


def with_question_options(command: Any) -> Any:
    """Add an option for every question."""
    for name, words in reversed(question_options().items()):
        command = click.option(option_of(name), name, metavar="ANSWER", help=words)(
            command
        )
    return command


@click.command()
@click.argument("equipment")
@with_question_options
@click.option("--reason", metavar="TEXT", help="Why; recorded with the change.")
@click.option(
    "--wrong", metavar="DATE", help="Declare the calibration of DATE wrong, instead."
)
@click.option(
    "--judged",
    metavar="DATE",
    help="Record that every test affected by the wrong calibration of DATE was "
    "assessed.",
)
@click.option("--defaults", is_flag=True, help="Ask nothing: accept the suggestions.")
@click.option("--dry-run", is_flag=True, help="Show which tests move; keep nothing.")
@click.option("--no-commit", is_flag=True, help="Write the record, without a commit.")
@root_option
def calibrate(
    equipment: str,
    root: Path | None,
    reason: str | None,
    wrong: str | None,
    judged: str | None,
    *,
    defaults: bool,
    dry_run: bool,
    no_commit: bool,
    **given: str | None,
) -> None:
    """
    Enter a new calibration of EQUIPMENT, and see which tests move.

    Asks what was found, what was left after an adjustment, and since when it was wrong.
    Each answer is checked at once. Then lists the tests whose results or inputs change
    and those that relied on equipment found wrong, and asks before anything is kept.
    Last come the commands by which each test is reviewed and amended.

    What was found is in force from its own day: a routine calibration moves no earlier
    test. Found wrong since an earlier day, it is in force from that day.

    Example: buildsite calibrate M-04 --by T04 --volume 943.6 --defaults --dry-run
    """
    folder = archive_root(root)
    archive = open_archive(folder)
    made = equipment_of(archive, equipment)
    answers = {name: text for name, text in given.items() if text is not None}
    if wrong and judged:
        raise click.UsageError("Give only one of --wrong and --judged.")
    work = EquipmentChange(folder, archive, made, committing=not (no_commit or dry_run))
    with work.store.taken():
        work.refuse_uncommitted()
        if wrong or judged:
            about = (wrong or judged or "", answers, reason or "")
            work.mark(*about, judged=bool(judged), defaults=defaults)
        else:
            work.add(answers, reason, defaults=defaults)
        found = work.finish(dry_run=dry_run, defaults=defaults)
    if found and at_terminal() and not (defaults or dry_run):
        go_through(folder, work.id, work.about, found)


def equipment_of(archive: Archive, id: str) -> Outcome:
    """Return the outcome of a piece of equipment; refuse what is none."""
    file = archive.find("equipment", id)
    if file is None:
        ids = archive.ids("equipment")
        raise unknown_id("equipment", id, ids, f"On file: {', '.join(ids)}.")
    made = archive.outcome(file)
    if made is None or made.kind.measured is None:
        refuse(*map(str, archive.flags(file)), nothing=NOTHING)
    return made


def refuse_empty(asked: Sequence[Measured], item: Mapping[str, Any]) -> None:
    """Refuse a calibration without a reading, where the equipment has readings."""
    own = [one for one in asked if not one.ask.name.startswith(LEFT)]
    names = {one.ask.name for one in own} - {ask.name for ask in COMMON}
    names = {
        one.ask.name for one in own if one.ask.name in names and not one.ask.choices
    }
    if names and not any(one.at[0] in item for one in own if one.ask.name in names):
        options = ", ".join(map(option_of, sorted(names)))
        raise click.UsageError(f"Nothing was measured: give a reading ({options}).")


def required(words: str, guess: str = "", fits: Callable[[str], bool] = bool) -> str:
    """Ask until there is an answer, and one that fits."""
    while True:
        answer = click.prompt(words, guess, show_default=bool(guess), err=True)
        answer = str(answer).strip()
        if answer and fits(answer):
            return answer
        click.echo(f"  ! {A_REASON if answer else 'Required.'}", err=True)


class EquipmentChange:
    """One change of one piece of equipment: as it is, and as it will be."""

    def __init__(
        self, root: Path, archive: Archive, made: Outcome, *, committing: bool
    ) -> None:
        self.root, self.archive, self.made = root, archive, made
        self.committing = committing
        self.file, self.id = made.file, made.id
        signed = archive.signs_edits()
        self.store = open_store(root, self.file, committing=committing, signed=signed)
        self.was = made.source.data
        self.data = self.was
        self.subject = self.by = self.reason = ""
        self.about = date.min  # the calibration that is new or changed

    def refuse_uncommitted(self) -> None:
        """Refuse a record with changes that are not committed: whose are they?"""
        if self.committing:
            reasons = [*changed_since_commit(self.root, self.file, self.was)]
            if reasons:
                refuse(*reasons, nothing=NOTHING)

    def add(
        self, given: Mapping[str, str], reason: str | None, *, defaults: bool
    ) -> None:
        """Ask for a calibration and add it to the record."""
        record, answered = self.made.case.record, dict(given)
        occasion, part = take(answered, self.made, defaults=defaults)
        form = form_of(self.made.kind, record, occasion, part)
        me, today = my_code(self.root, self.archive), day_or_today(None)
        answers = ask_questions(
            (self.archive, self.made), form, answered, (me, today), defaults=defaults
        )
        items = calibrations_of(form.asked, answers)
        if occasion is None or "certificate" not in items[0]:
            refuse_empty(form.asked, items[0])
        self.data = with_calibrations(self.made.source, items, form)
        self.by, self.about = answers["by"], day_or_today(answers["on"])
        done = occasion.done if occasion is not None else "calibrated"
        usual = f"{done.format(part=part)} on {answers['on']}"
        if reason is None and at_terminal() and not defaults:
            reason = ask_reason(usual)
        self.reason = reason or usual
        self.subject = f"{self.id}: {usual}"

    def mark(
        self,
        when: str,
        given: Mapping[str, str],
        reason: str,
        *,
        judged: bool,
        defaults: bool,
    ) -> None:
        """Declare a calibration wrong, or record that its tests were assessed."""
        option = "--judged" if judged else "--wrong"
        self.about, given = day_or_today(when), dict(given)
        series, index = series_marked(self.made, given, self.about, found=judged)
        extra = sorted(given.keys() - {"by"})
        if extra:
            raise click.UsageError(f"{option_of(extra[0])}: not with {option}.")
        if reason.strip() and not is_reason(reason):
            raise click.UsageError(f"--reason {reason!r} is no reason. {A_REASON}")
        me = my_code(self.root, self.archive)
        asking = at_terminal() and not defaults
        if not asking and not ((given.get("by") or me) and reason.strip()):
            raise click.UsageError(f"{option} needs --by CODE and --reason TEXT.")
        who = "Assessed by" if judged else "Found by"
        self.by = given.get("by") or (required(who, me) if asking else me)
        authority = "review" if judged else "test"
        today = day_or_today(None)
        reasons = [*without_authority(self.archive, self.by, authority, today)]
        if reasons:
            refuse(*reasons, nothing=NOTHING)
        why = "Outcome of the assessment" if judged else "Why it is wrong"
        self.reason = reason.strip() or required(why, fits=is_reason)
        text = quoted(self.reason)
        name, value = (
            ("tests_judged", f"{{by: {self.by}, reason: {text}}}")
            if judged
            else ("found_wrong", text)
        )
        field = (*series.at, index, name)
        self.data = set_reading(self.made.source, field, value)
        what = "tests assessed" if judged else "declared wrong"
        of = f"{series.words}, " if series.words else ""
        self.subject = f"{self.id}: {of}calibration of {when}, {what}"

    def finish(self, *, dry_run: bool, defaults: bool) -> Sequence[Affected]:
        """Show which tests move, and keep the record if it is wanted."""
        after = self.archive.with_files({self.file: self.data})
        made = after.outcome(self.file)
        errors = [f for f in after.flags(self.file) if f.severity is Severity.ERROR]
        if errors or made is None:
            refuse(*map(str, errors), nothing=NOTHING)
        found = affected(self.archive, after, self.file)
        raised = new_flags(made.flags, self.made.flags)
        for flag in raised:
            click.echo(str(flag), err=True)
        for line in effect_lines(self.id, self.about, found, warned=bool(raised)):
            click.echo(line)
        if dry_run:
            return found
        asking = at_terminal() and not defaults
        if asking and not click.confirm("Keep it?", True, err=True):
            refuse(nothing=NOTHING)
        self.keep()
        click.echo(self.file)
        return found

    def keep(self) -> None:
        """Write the record, and commit it with who and why."""
        if not self.committing:
            self.store.save(self.was, self.data, self.by)
            return
        self.store.unchanged(self.was)
        who = [("Entered-by", self.by), ("Reason", self.reason)]
        self.store.commit(self.data, self.subject, who)
