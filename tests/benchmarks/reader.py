"""
The strict reader beside ``CSafeLoader``, over the same bytes, in one process.

``python -m tests.benchmarks.reader ROUNDS RECORD...`` prints seconds a round, as JSON.
"""

import json
import sys
from pathlib import Path
from time import perf_counter

import click
import yaml

from buildsite.record.source import read_source


def ours(records: dict[str, bytes]) -> None:
    """Read every record as the program does, with lines and refusals."""
    for name, data in records.items():
        read_source(name, data)


def theirs(records: dict[str, bytes]) -> None:
    """Read every record as PyYAML's fastest safe loader does."""
    for data in records.values():
        yaml.load(data, Loader=yaml.CSafeLoader)


def main(rounds: int, names: list[str]) -> None:
    """Time both in turn, so that a slow minute of the machine hits both."""
    records = {name: Path(name).read_bytes() for name in names}
    seconds: dict[str, list[float]] = {"ours": [], "theirs": []}
    for _ in range(rounds):
        for label, read in (("ours", ours), ("theirs", theirs)):
            start = perf_counter()
            read(records)
            seconds[label].append(perf_counter() - start)
    click.echo(json.dumps(seconds))


if __name__ == "__main__":
    main(int(sys.argv[1]), sys.argv[2:])
