"""
The two pictures at the head of README.md, drawn of the demo's site.

`python -m tests.pictures SITE` writes them anew, where SITE is the demo as built; a
test holds them to it.
"""

import json
import re
import sys
from html import escape
from pathlib import Path
from textwrap import wrap
from typing import Any

from buildsite.kinds.reporting import readable_text
from buildsite.record.issued import Issued, read_issued

ROOT = Path(__file__).parents[1]
FOLDER = ROOT / "docs/pictures"
TEST = "HF-0117"
CHAIN = f"records/heron-flats/tests/{TEST}.issued.yaml"

WIDTH, EDGE = 440, 20
SERIF = "Georgia, 'DejaVu Serif', serif"
SANS = "system-ui, 'Segoe UI', 'DejaVu Sans', sans-serif"
INK, SOFT, LINE, STOP = "#1c2326", "#535c64", "#d9d6cd", "#734a00"
CHARACTERS = 66
"""Of a line of small text that fits the width."""


def text(y: float, words: str, size: float, x: float = EDGE, /, **more: str) -> str:
    """Return a line of text."""
    style = {"font-family": SANS, "font-size": f"{size:g}", "fill": INK, **more}
    about = " ".join(f'{name}="{value}"' for name, value in style.items())
    return f'<text x="{x:g}" y="{y:g}" {about}>{escape(words)}</text>'


def inside(figure: str) -> str:
    """Return a figure without its frame, title and description."""
    body = re.sub(r"<title.*?</title>\s*<desc.*?</desc>", "", figure, flags=re.DOTALL)
    return body[body.index(">") + 1 :].removesuffix("</svg>\n")


def height(figure: str) -> int:
    """Return the height of a figure."""
    found = re.search(r'height="(\d+)"', figure)
    assert found is not None
    return int(found[1])


def picture(title: str, about: str, head: list[str], y: float, figure: str) -> str:
    """Return a picture: lines of text, and a figure below them from `y` on."""
    high, low = y, height(figure)
    whole = high + low + EDGE / 2
    return "\n".join(
        [
            f'<svg xmlns="http://www.w3.org/2000/svg" '
            f'xmlns:xlink="http://www.w3.org/1999/xlink" role="img" '
            f'aria-labelledby="what shows" width="{WIDTH}" height="{whole:g}" '
            f'viewBox="0 0 {WIDTH} {whole:g}">',
            f'<title id="what">{escape(title)}</title>',
            f'<desc id="shows">{escape(about)}</desc>',
            f'<rect x="0.5" y="0.5" width="{WIDTH - 1}" height="{whole - 1:g}" '
            f'fill="#fff" stroke="{LINE}"/>',
            *head,
            f'<svg x="{EDGE}" y="{high:g}" width="400" height="{low}" '
            f'viewBox="0 0 400 {low}">',
            inside(figure).rstrip(),
            "</svg>",
            "</svg>\n",
        ]
    )


def row_of(site: Path) -> dict[str, Any]:
    """Return the row of the test."""
    rows = json.loads((site / "results.json").read_bytes())["results"]
    (found,) = (row for row in rows if row["id"] == TEST)
    return dict(found)


def chain() -> Issued:
    """Return the revisions of the test."""
    found, _ = read_issued(CHAIN, (ROOT / CHAIN).read_bytes())
    assert found is not None
    return found


def paragraph(y: float, words: str, **more: str) -> tuple[list[str], float]:
    """Return lines of small text, and where the next line stands."""
    lines = wrap(words, CHARACTERS)
    return [text(y + 16 * i, one, 12, **more) for i, one in enumerate(lines)], (
        y + 16 * len(lines)
    )


def results(row: dict[str, Any], y: float) -> list[str]:
    """Return the results that a fill is judged by, large, side by side."""
    lines = []
    for i, name in enumerate(row["governing"]):
        one, x = row["results"][name], EDGE + i * 215
        shown = readable_text(one["reported"])
        lines += [text(y, shown, 25, x, **{"font-family": SERIF, "font-weight": "600"})]
        lines += [text(y + 17, one["term"], 11, x, fill=SOFT)]
    return lines


def report(site: Path) -> str:
    """Return the picture of a report: number, results, why it was amended, curve."""
    row = row_of(site)
    about = row["standard"]
    item = chain().items[row["revision"]]
    name = f"{TEST} r{row['revision']}"
    standard = f"{about['designation']}, Method {about['method']}"
    told, below = paragraph(162, f"Amended: {item.reason}", fill=STOP)
    head = [
        text(34, name, 23, **{"font-family": SERIF, "font-weight": "600"}),
        text(54, f"{standard} · {row['soil']['name']} · issued {row['issued']}", 12,
             fill=SOFT),
        f'<path d="M {EDGE} 68 H {WIDTH - EDGE}" stroke="{LINE}"/>',
        *results(row, 104),
        f'<path d="M {EDGE} 140 H {WIDTH - EDGE}" stroke="{LINE}"/>',
        *told,
    ]  # fmt: skip
    figure = (site / "tests" / TEST / "curve.svg").read_text("utf-8")
    stated = ", ".join(
        f"{row['results'][one]['term']} {row['results'][one]['reported']}"
        for one in row["governing"]
    )
    return picture(f"The report {name}", stated, head, below + 4, figure)


def comparison(site: Path) -> str:
    """Return the picture of a comparison: what the amendment changed, both curves."""
    folder = site / "tests" / TEST
    row = row_of(site)
    new = f"r{row['revision']}"
    (figure,) = sorted((folder / "compare").glob(f"*-{new}.svg"))[-1:]
    old = figure.stem.partition("-")[0]
    before = json.loads((folder / old / "result.json").read_bytes())["results"]
    now = json.loads((folder / new / "result.json").read_bytes())["results"]
    name = row["governing"][0]
    percent = 100 * (now[name]["value"] / before[name]["value"] - 1)
    sign = "+" if percent > 0 else "\N{MINUS SIGN}"
    change = (
        f"{readable_text(before[name]['reported'])} → "
        f"{readable_text(now[name]['reported'])}"
    )
    why = chain().items[row["revision"]].reason
    told, below = paragraph(162, f"Cause: {why}", fill=STOP)
    head = [
        text(34, f"{TEST}: {old} and {new} compared", 23,
             **{"font-family": SERIF, "font-weight": "600"}),
        text(54, "Hollow: as first reported; an arrow to the new point", 12, fill=SOFT),
        f'<path d="M {EDGE} 68 H {WIDTH - EDGE}" stroke="{LINE}"/>',
        text(102, f"{change} ({sign}{abs(percent):.1f} %)", 19,
             **{"font-family": SERIF, "font-weight": "600"}),
        text(121, row["results"][name]["term"], 11, fill=SOFT),
        f'<path d="M {EDGE} 140 H {WIDTH - EDGE}" stroke="{LINE}"/>',
        *told,
    ]  # fmt: skip
    title = f"{TEST}, {old} and {new} compared"
    return picture(title, change, head, below + 4, figure.read_text("utf-8"))


PICTURES = {"report.svg": report, "comparison.svg": comparison}


def main() -> None:
    """Write the pictures of a built site."""
    for name, draw in PICTURES.items():
        (FOLDER / name).write_text(draw(Path(sys.argv[1])), "utf-8")


if __name__ == "__main__":
    main()
