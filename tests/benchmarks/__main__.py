"""
Measure what the program costs as whole processes, on archives of N tests.

Example: python -m tests.benchmarks --size 1000 --size 10000 --rounds 3
"""

import json
import os
import platform
import sys
import tempfile
from collections.abc import Iterator, Sequence
from importlib.metadata import version
from pathlib import Path

import click

from tests.benchmarks import mkdocs_site
from tests.benchmarks.bench import Bench
from tests.benchmarks.measure import BUILDSITE, PYTHON, Line, at_most, run
from tests.benchmarks.rows import GROWTH, LARGER, ROWS

UNWANTED = ("jinja2", "matplotlib", "numpy", "scipy")
VERSIONS = ("click", "jinja2", "matplotlib", "numpy", "pydantic", "pyyaml", "scipy")
HEAD = ("what", "measured: median (least to most)", "compared", "bound")
SPY = (
    "import atexit, sys;"
    "atexit.register(lambda: print('imported', *sorted({m.partition('.')[0]"
    " for m in sys.modules}), file=sys.stderr));"
)


def imported(bench: Bench) -> list[str]:
    """Name the heavy packages that checking one test imports: there should be none."""
    spied = (PYTHON, "-c", SPY + BUILDSITE[2], "check", bench.tests("revisions")[0])
    names = run(spied, bench.archive("revisions")).stderr.splitlines()[-1].split()
    return [name for name in UNWANTED if name in names]


def measured(bench: Bench, rows: Sequence[str], first: Bench) -> Iterator[Line]:
    """Yield the lines of the rows; the bounds are for the first size."""
    parts = ROWS if bench is first else LARGER
    for name in rows:
        if name in parts:
            click.echo(f"{name} of {bench.size} tests …", err=True)
            for line in parts[name](bench):
                yield line if bench is first else line.unbound


def grown(lines: Sequence[Line], first: Sequence[Line], size: int) -> Iterator[Line]:
    """Yield how the lines of a larger archive compare with those of the first."""
    before = {line.name: line for line in first}
    for line in lines:
        if line.name in GROWTH and line.name in before:
            most = GROWTH[line.name]
            found = at_most(line.unbound, before[line.name], most)
            yield found.named(f"{line.name}, at {size}", "times that of the first size")


def machine() -> str:
    """Return what was measured on: processors, system, versions."""
    libraries = ", ".join(f"{name} {version(name)}" for name in VERSIONS)
    cores = len(os.sched_getaffinity(0))
    git = run(("git", "--version"), Path.cwd()).stdout.split()[-1]
    other = mkdocs_site.program()
    told = run((other, "--version"), Path.cwd()).stdout.split() if other else []
    mkdocs = told[told.index("version") + 1] if "version" in told else "not installed"
    return (
        f"{processor()}, {cores} processors, load {os.getloadavg()[0]:.1f}; "
        f"{platform.system()} {platform.release()}; Python "
        f"{platform.python_version()}, git {git}, {libraries}; MkDocs {mkdocs}."
    )


def processor() -> str:
    """Return the name of the processor, where the system tells it."""
    try:
        text = Path("/proc/cpuinfo").read_text("utf-8")
    except OSError:
        return platform.machine()
    names = [x.partition(": ")[2] for x in text.splitlines() if "model name" in x]
    return names[0] if names else platform.machine()


def table(lines: Sequence[Line]) -> Iterator[str]:
    """Yield the lines of a table in Markdown."""
    cells = [HEAD, *(line.cells() for line in lines)]
    widths = [max(map(len, column)) for column in zip(*cells, strict=True)]
    for number, row in enumerate(cells):
        padded = (cell.ljust(n) for cell, n in zip(row, widths, strict=True))
        yield f"| {' | '.join(padded)} |"
        if not number:
            yield f"|{'|'.join('-' * (n + 2) for n in widths)}|"


@click.command(epilog="Example: python -m tests.benchmarks --size 1000 --rounds 3")
@click.option(
    "--size",
    "sizes",
    type=click.IntRange(min=1),
    multiple=True,
    default=(1000,),
    show_default=True,
    help="Tests of an archive; larger ones are compared with the first.",
)
@click.option(
    "--rows", help=f"Only these, separated by commas: {', '.join(ROWS)}.", default=""
)
@click.option("--rounds", type=click.IntRange(min=1), default=3, show_default=True)
@click.option("--jobs", type=click.IntRange(min=1), default=2, show_default=True)
@click.option("--seed", type=int, default=1, show_default=True)
@click.option(
    "--clock",
    type=click.Choice(["wall", "processors"]),
    default="wall",
    show_default=True,
    help="What is compared: on a machine with other work, time of processors.",
)
@click.option(
    "--json", "as_json", is_flag=True, help="Standard output holds JSON alone."
)
def main(
    sizes: tuple[int, ...],
    rows: str,
    rounds: int,
    jobs: int,
    seed: int,
    clock: str,
    *,
    as_json: bool,
) -> None:
    """Measure start-up, check, builds, rebuilds, memory, proof and log."""
    chosen = [name.strip() for name in rows.split(",") if name.strip()] or [*ROWS]
    if wrong := set(chosen) - set(ROWS):
        raise click.UsageError(f"Not a row: {', '.join(sorted(wrong))}.")
    with tempfile.TemporaryDirectory(prefix="bench-") as name:
        benches = [
            Bench(Path(name).resolve() / str(size), size, rounds, jobs, seed, clock)
            for size in sizes
        ]
        lines: list[Line] = []
        for bench in benches:
            bench.folder.mkdir()
            found = [*measured(bench, chosen, benches[0])]
            if bench is not benches[0]:
                found = [*grown(found, lines, bench.size)]
            lines += found
        heavy = imported(benches[0])
    report(lines, heavy, as_json=as_json)


def report(lines: list[Line], heavy: list[str], *, as_json: bool) -> None:
    """Print what was found, and end with 1 where a bound was missed."""
    if as_json:
        plain = {"lines": [line.plain() for line in lines], "heavy_imports": heavy}
        click.echo(json.dumps(plain, indent=1, sort_keys=True))
    else:
        click.echo("\n".join(table(lines)))
        click.echo(f"\nHeavy packages imported by check: {', '.join(heavy) or 'none'}.")
        click.echo(machine())
    sys.exit(0 if not heavy and all(line.kept for line in lines) else 1)


if __name__ == "__main__":
    main()
