"""The page of a family, in the laboratory's copy and for clients."""

from buildsite.archive.issues import released_of
from tests.archives import archive_of, changed, sound
from tests.pages.builds import made, page

ADDRESS = "projects/marsh-lane/families/cutting-1"
PUBLISHED = ["does not exist}", "does not exist}\npublish: yes"]


def test_the_project_lists_its_families_and_each_has_its_page() -> None:
    files = sound(("family",))
    records = {
        name: data
        for name, data in files.items()
        if name.endswith(".yaml") and ".issued" not in name
    }

    site = made(records)

    assert f"{ADDRESS}/family.svg" in site
    text = site[f"{ADDRESS}/index.html"].decode()
    assert 'src="family.svg"' in text
    assert "../../../../tests/ML-107/index.html" in text
    project = page(records, "projects/marsh-lane/index.html")
    assert "families/cutting-1/index.html" in project


def test_clients_see_issued_members_of_published_projects_alone() -> None:
    files = changed(
        {
            "marsh-lane/project.yaml": [PUBLISHED],
            "marsh-lane/families/cutting-1.yaml": [["ML-108]", "ML-108, ML-102]"]],
        },
        beside=("family",),
    )

    shown = released_of(archive_of(files)).families

    assert shown == {"marsh-lane/cutting-1": ("ML-101", "ML-107", "ML-108")}
    assert released_of(archive_of(sound(("family",)))).families == {}
