"""
The afternoon's pipeline that the build is measured against.

``python -m tests.benchmarks.naive OUT RECORD...``: for each test ``yaml.safe_load``, a
cubic through its points, one ``plt.subplots`` and ``savefig``, one jinja2 page. It
judges nothing, keeps no history, and writes one page where the build writes several.
"""

import sys
from pathlib import Path
from typing import Any

import jinja2
import matplotlib.pyplot as plt
import numpy as np
import yaml

PAGE = """<!doctype html>
<html lang="en"><head><meta charset="utf-8"><title>{{ record.id }}</title></head>
<body><h1>Test {{ record.id }}</h1>
<p>{{ record.standard.designation }} Method {{ record.standard.method }}</p>
<p>Maximum dry density {{ "%.0f"|format(peak[1]) }} kg/m³
at {{ "%.1f"|format(peak[0]) }} %</p>
<table><tr><th>Point</th><th>Water content, %</th><th>Dry density, kg/m³</th></tr>
{% for water, density in points %}<tr><td>{{ loop.index }}</td>
<td>{{ "%.2f"|format(water) }}</td><td>{{ "%.1f"|format(density) }}</td></tr>
{% endfor %}</table>
<img src="{{ record.id }}.svg" alt="Compaction curve"></body></html>
"""
VOLUME = 944.0  # cm3; the afternoon's pipeline looks no mold up


def compute(record: dict[str, Any]) -> tuple[list[tuple[float, float]], Any]:
    """Return points of water content and dry density, and the cubic through them."""
    points = []
    for p in record["points"]:
        dry = p["container_and_dry"] - p["container_mass"]
        water = (p["container_and_wet"] - p["container_and_dry"]) / dry * 100
        wet = (p["mold_and_wet_soil"] - record["mold_mass"]) / VOLUME * 1000
        points.append((water, wet / (1 + water / 100)))
    waters, densities = zip(*points, strict=True)
    return points, np.polyfit(waters, densities, 3)


def draw(path: Path, points: list[tuple[float, float]], cubic: Any) -> Any:
    """Draw one curve, and return its highest place."""
    waters, densities = zip(*points, strict=True)
    line = np.linspace(min(waters), max(waters), 100)
    curve = np.polyval(cubic, line)
    figure, axes = plt.subplots()
    axes.plot(line, curve)
    axes.plot(waters, densities, "o")
    axes.set_xlabel("Water content, %")
    axes.set_ylabel("Dry density, kg/m³")
    axes.grid(visible=True)
    figure.tight_layout()
    figure.savefig(path)
    plt.close(figure)
    top = int(curve.argmax())
    return line[top], curve[top]


def main(out: Path, records: list[Path]) -> None:
    """Make one page and one figure of each record."""
    plt.switch_backend("svg")
    template = jinja2.Environment(autoescape=True).from_string(PAGE)
    out.mkdir(parents=True, exist_ok=True)
    for path in records:
        record = yaml.safe_load(path.read_text("utf-8"))
        points, cubic = compute(record)
        peak = draw(out / f"{record['id']}.svg", points, cubic)
        page = template.render(record=record, points=points, peak=peak)
        (out / f"{record['id']}.html").write_text(page, "utf-8")


if __name__ == "__main__":
    main(Path(sys.argv[1]), [Path(name) for name in sys.argv[2:]])
