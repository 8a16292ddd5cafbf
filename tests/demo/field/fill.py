"""Every record of the demo's fill, as it stands once the misread mass is corrected."""

from tests.demo.field import curves, densities, equipment, papers, points


def texts() -> dict[str, str]:
    """Every record by its path, before it was reviewed or judged."""
    return (
        equipment.texts()
        | curves.texts()
        | points.family()
        | points.texts()
        | densities.texts()
        | papers.texts()
    )
