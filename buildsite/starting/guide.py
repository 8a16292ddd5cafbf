"""The README of a new archive: a laboratory's day, in the commands of this program."""


def guide(name: str, tester: str, *, public: bool) -> str:
    """
    Write what a technician needs to know, and no more.

    Parameters
    ----------
    name
        Of the laboratory.
    tester
        Staff code of somebody who tests, for the examples.
    public
        Whether issued reports may be seen by everybody.
    """
    return f"# {' '.join(name.split())}\n\n" + DAY.format(
        tester=tester, seen=PUBLIC if public else MEMBERS
    )


DAY = """\
The compaction tests of this laboratory, one text file a test below `records/`, kept
in git. A file holds what was read at the bench; densities, water contents and the curve
are computed from it. Results are no better than the bench work behind them: follow your
standard, your local rules and your licensed practice. Mind your hands under the rammer,
the heat of the oven, dust, and how you lift.

## Once, on each machine

    git clone ADDRESS archive
    cd archive
    python3 -m venv .venv
    . .venv/bin/activate
    bash program/install
    buildsite git-setup --hook

Tell git who you are, with the address that stands beside your code in
`records/lab.yaml`: `git config user.name NAME`, `git config user.email ADDRESS`.

## Each day

    git pull --rebase
    buildsite new moisture-density       the next test, all known things filled in
    buildsite worksheet TEST             a bench sheet, for who writes on paper first
    buildsite enter TEST --by {tester}        type the readings
    buildsite next TEST                  how much water the next point takes
    buildsite check                      what is missing or can't be
    buildsite show TEST                  the result so far
    git push

`enter` commits what you typed. What is changed by hand in a file is committed with
`buildsite commit --why "TEST: read point 3 again"`: the reason is what the history
shows, so not *update*. When a test is complete:

    buildsite review TEST --by CODE
    buildsite issue TEST --authorized-by CODE --reason "first issue" --to "WHOM"
    git push

An issued report is never changed. A mistake is mended with `enter`, and issued again:
the new report says what it amends.

## Now and then

    buildsite new project                or sample, mold, rammer, balance, oven, sieve
    buildsite check --due 30d            what is to be calibrated in the next 30 days
    buildsite serve                      the site, on this machine alone
    buildsite build                      the site into the folder site/
    buildsite diff                       what moved since it was issued

Each command explains itself: `buildsite new --help`. A new colleague, or one who
leaves, is a line in `records/lab.yaml`.

{seen}"""

PUBLIC = """\
## Who sees it

Issued reports of projects that say `publish: yes` are published with every push, by
`.github/workflows/publish.yml`; nothing else is. Once, by hand: in the settings of the
repository let Pages come from GitHub Actions, then run the workflow *publish* with
*Nothing was ever published from here* ticked.
"""

MEMBERS = """\
## Who sees it

Members only. Keep the repository private. With every push `.github/workflows/site.yml`
builds the laboratory's own copy and keeps it as a file of that run, for those who may
read the repository: a page on the web would be open to everybody.
"""
