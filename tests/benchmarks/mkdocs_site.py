"""
The general static-site generator that a page of the build is measured against.

MkDocs in its tuned form: no search, and one page in its navigation, or every page would
hold the names of all. It draws no figure, computes nothing and reads no git. It is a
tool of this benchmark alone (`requirements.txt` beside this file): where it is not on
the PATH, the benchmark says so and leaves that row out.
"""

import shutil
from collections.abc import Sequence
from pathlib import Path

import yaml

CONFIG = """\
site_name: Invented tests
theme: mkdocs
plugins: []
validation: {nav: {omitted_files: ignore}}
nav: [index.md]
"""
PAGE = """\
# Test {id}

{designation} Method {method}, sample {sample}, compacted {on}.

| Point | Container | Wet with it, g | Dry with it, g | Mold and wet soil, g |
|---|---|---|---|---|
{lines}

```
{text}
```
"""
LINE = (
    "| {number} | {container} | {container_and_wet} | {container_and_dry} |"
    " {mold_and_wet_soil} |"
)


def program() -> str | None:
    """Return where MkDocs is; None where it is not."""
    return shutil.which("mkdocs")


def make_project(folder: Path, records: Sequence[Path], pages: int) -> None:
    """Write a project of so many pages, of records in turn."""
    docs = folder / "docs"
    docs.mkdir(parents=True)
    (folder / "mkdocs.yml").write_text(CONFIG, "utf-8")
    (docs / "index.md").write_text("# Invented tests\n", "utf-8")
    made = [page(path.read_text("utf-8")) for path in records[:pages]]
    for number in range(pages - 1):
        (docs / f"t{number:05d}.md").write_text(made[number % len(made)], "utf-8")


def page(text: str) -> str:
    """Return a record as a page: what it is, its readings as a table, its text."""
    record = yaml.load(text, Loader=yaml.CBaseLoader)  # noqa: S506 (text as typed)
    lines = "\n".join(
        LINE.format(number=number, **point)
        for number, point in enumerate(record["points"], 1)
    )
    return PAGE.format(
        lines=lines,
        text=text,
        on=record["compacted"]["on"],
        id=record["id"],
        sample=record["sample"],
        **{key: record["standard"][key] for key in ("designation", "method")},
    )


def build_words(folder: Path, out: Path) -> tuple[str | Path, ...]:
    """Return the command that builds the project's site."""
    config = folder / "mkdocs.yml"
    words = ("build", "--quiet", "--clean", "--config-file", config, "--site-dir", out)
    return (program() or "mkdocs", *words)
