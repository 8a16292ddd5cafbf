"""What the workflows decide: whether a publication is the first, and who judges."""

import shutil
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, HTTPServer
from pathlib import Path
from threading import Thread
from typing import Any

import pytest

from buildsite.starting.archive import workflow_text
from tests.cli.running import run
from tests.clones import git, write
from tests.issuing.clones import edit
from tests.verify.tampering import (
    CHAIN,
    RECORD,
    commit,
    head,
    items,
    laboratory,
    put,
)
from tests.verify.tampering import chained as forged
from tests.workflow_steps import Done, job_of, run_job, run_step

ROOT = Path(__file__).parents[1]
OURS = ROOT / ".github/workflows"
PUBLISH = {
    "ours": (OURS / "publish.yml").read_text("utf-8"),
    "a laboratory's": workflow_text("public.yaml", "main"),
}
MANIFEST = b'{"tests": {}}'


@contextmanager
def server(status: int) -> Iterator[str]:
    """A server that has one answer; yields its address."""

    class Answer(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            self.send_response(status)
            if status in (301, 302, 307):
                self.send_header("Location", "/log-in")
            self.end_headers()
            if status == 200:
                self.wfile.write(MANIFEST)

        def log_message(self, *_: Any) -> None:
            """Say nothing."""

    running = HTTPServer(("127.0.0.1", 0), Answer)
    Thread(target=running.serve_forever, daemon=True).start()
    try:
        yield f"http://127.0.0.1:{running.server_port}/lab"
    finally:
        running.shutdown()
        running.server_close()


def script(path: Path, text: str) -> None:
    """Write a program."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(f"#!/usr/bin/env bash\n{text}\n", "utf-8")
    path.chmod(0o755)


def publish(text: str, folder: Path, address: str, *, first: bool) -> Done:
    """Run the step that compares with what is published, with a program that agrees."""
    says = f'echo "buildsite $*" >>"{folder}/asked"'
    script(folder / ".venv/bin/buildsite", says)
    script(folder / "bin/buildsite", says)
    (step,) = (
        one
        for one in job_of(text, "build")["steps"]
        if "verify --first-publication" in one.get("run", "")
    )
    values = {
        "inputs.first_publication": str(first).lower(),
        "vars.PUBLISHED_AT || steps.pages.outputs.base_url": address,
    }
    path = f"{folder / 'bin'}:/usr/bin:/bin"
    return run_step(
        step, folder, values, {"PATH": path, "RUNNER_TEMP": str(folder), "HOME": "/"}
    )


def asked(folder: Path) -> str:
    """What the program was asked."""
    path = folder / "asked"
    return path.read_text("utf-8") if path.exists() else ""


BOTH = pytest.mark.parametrize("whose", PUBLISH)


@BOTH
@pytest.mark.parametrize("status", [404, 410])
def test_where_no_manifest_is_served_a_first_publication_goes_on(
    tmp_path: Path, whose: str, status: int
) -> None:
    with server(status) as address:
        done = publish(PUBLISH[whose], tmp_path, address, first=True)

    assert done.status == 0, done.out
    assert "verify --first-publication" in asked(tmp_path)
    assert "verify --site site" in asked(tmp_path)


@BOTH
@pytest.mark.parametrize("status", [200, 204, 301, 302, 307, 401, 403, 429, 500, 503])
def test_any_other_answer_is_no_first_publication(
    tmp_path: Path, whose: str, status: int
) -> None:
    with server(status) as address:
        done = publish(PUBLISH[whose], tmp_path, address, first=True)

    assert done.status == 1
    assert asked(tmp_path) == ""
    assert "::error::" in done.out
    said = "something was published before" if status == 200 else f"answers {status};"
    assert said in done.out


@BOTH
@pytest.mark.parametrize("address", ["http://127.0.0.1:9", "http://no.invalid", ""])
def test_no_answer_is_no_first_publication(
    tmp_path: Path, whose: str, address: str
) -> None:
    done = publish(PUBLISH[whose], tmp_path, address, first=True)

    assert (done.status, asked(tmp_path)) == (1, "")
    assert "answers no answer" not in done.out
    assert "gives no answer" in done.out


@BOTH
@pytest.mark.parametrize("status", [404, 403, 500])
def test_a_later_publication_needs_the_manifest(
    tmp_path: Path, whose: str, status: int
) -> None:
    text = PUBLISH[whose].replace("--retry 3", "--retry 0")
    with server(status) as address:
        done = publish(text, tmp_path, address, first=False)

    assert done.status != 0
    assert asked(tmp_path) == ""


@BOTH
def test_a_later_publication_continues_the_last(tmp_path: Path, whose: str) -> None:
    with server(200) as address:
        done = publish(PUBLISH[whose], tmp_path, address, first=False)

    assert done.status == 0, done.out
    assert (tmp_path / "manifest.json").read_bytes() == MANIFEST
    assert f"verify --no-cache --against {tmp_path}/manifest.json" in asked(tmp_path)


# A proposal brings a program that finds no fault. Who judges is the present one: here
# the real program, started by the file that each installation makes.

PROGRAM = "import sys; from buildsite.cli import main; main()"
REAL = f'PYTHONPATH="{ROOT}" exec "{sys.executable}" -c "{PROGRAM}" "$@"'
KIND = 'touch "$BROUGHT"; echo "{}"'


def install_ours(program: str) -> bytes:
    """`.ci/start` that installs a program beside itself."""
    return f"""\
import pathlib, sys
bin = pathlib.Path(sys.argv[0]).parents[1] / ".venv/bin"
bin.mkdir(parents=True, exist_ok=True)
(bin / "buildsite").write_text({"#!/usr/bin/env bash" + chr(10) + program!r})
(bin / "buildsite").chmod(0o755)
""".encode()


def install_theirs(program: str) -> bytes:
    """`program/install` that puts a program on the path."""
    text = f"""\
set -e
cat >"$BIN/buildsite" <<'END'
#!/usr/bin/env bash
{program}
END
chmod +x "$BIN/buildsite"
"""
    return text.encode()


ELSE = "(github.ref == 'refs/heads/main' && github.sha) || 'main'"
INSTALL = {
    "ours": (".ci/start", install_ours),
    "a laboratory's": ("program/install", install_theirs),
}
JUDGE = {
    "ours": ((OURS / "check.yml").read_text("utf-8"), "moves"),
    "a laboratory's": (workflow_text("check.yaml", "main"), "records"),
}


@pytest.fixture
def origin(tmp_path: Path) -> Path:
    """A laboratory whose published branch has the real program."""
    root = laboratory(tmp_path / "origin")
    for path, install in INSTALL.values():
        write(root, {path: install(REAL)})
    commit(root, "program")
    return root


def judged(origin: Path, folder: Path, whose: str) -> Done:
    """Run the job that judges a proposal, `proposal`, into main."""
    folder.mkdir()
    (folder / "bin").mkdir()
    text, name = JUDGE[whose]
    sha = head(origin, "proposal")
    values = {
        "github.event.pull_request.head.sha": sha,
        "github.event.pull_request.head.sha || github.sha": sha,
        "github.base_ref": "main",
        f"github.base_ref || {ELSE}": "main",
        "github.event_name == 'pull_request'": "true",
    }
    env = {
        "PATH": f"{folder / 'bin'}:/usr/bin:/bin",
        "BIN": str(folder / "bin"),
        "BROUGHT": str(folder / "brought"),
        "GITHUB_STEP_SUMMARY": str(folder / "summary"),
        "GITHUB_REF": "refs/pull/1/merge",
    }
    return run_job(job_of(text, name), folder, values, origin=origin, env=env)


@pytest.mark.parametrize("whose", JUDGE)
def test_a_sound_proposal_passes(origin: Path, tmp_path: Path, whose: str) -> None:
    git(origin, "checkout", "--quiet", "-b", "proposal")
    edit(origin, RECORD, "mold_and_wet_soil: 8.60", "mold_and_wet_soil: 8.61")

    done = judged(origin, tmp_path / "run", whose)

    assert done.status == 0, done.out
    assert "0 faults" in done.out
    assert "ML-101" in (tmp_path / "run/summary").read_text("utf-8")


@pytest.mark.parametrize("whose", JUDGE)
def test_no_proposal_is_judged_by_the_program_it_brings(
    origin: Path, tmp_path: Path, whose: str
) -> None:
    git(origin, "checkout", "--quiet", "-b", "proposal")
    trees = items(origin)
    put(origin, forged([{**trees[0], "reason": "other words"}, *trees[1:]]))
    for path, install in INSTALL.values():
        write(origin, {path: install(KIND)})
    commit(origin, "tidy")

    done = judged(origin, tmp_path / "run", whose)

    assert done.status == 1
    assert "this issued item was altered" in done.out
    assert CHAIN in done.out
    assert not (tmp_path / "run/brought").exists()


@pytest.mark.parametrize("brings", [False, True])
def test_a_proposed_program_tells_what_it_computes_and_judges_nothing(
    origin: Path, tmp_path: Path, *, brings: bool
) -> None:
    git(origin, "checkout", "--quiet", "-b", "proposal")
    if brings:
        write(origin, {"program/install": install_theirs(KIND)})
    commit(origin, "another program")
    for name in ("bin", "run"):
        (tmp_path / name).mkdir()
    values = {
        "github.event.pull_request.head.sha": head(origin, "proposal"),
        "github.base_ref": "main",
    }
    env = {
        "PATH": f"{tmp_path / 'bin'}:/usr/bin:/bin",
        "BIN": str(tmp_path / "bin"),
        "BROUGHT": str(tmp_path / "brought"),
        "GITHUB_STEP_SUMMARY": str(tmp_path / "summary"),
    }
    job = job_of(workflow_text("check.yaml", "main"), "upgrade")

    done = run_job(job, tmp_path / "run", values, origin=origin, env=env)

    assert done.status == 0, done.out
    assert (tmp_path / "brought").exists() is brings
    assert ("The program stays as it is." in done.out) is not brings


SHARDED = workflow_text("public-shards.yaml", "main", 3)
DECIDES = "Check that the next publication continues the last one"


def step_of(text: str, job: str, name: str) -> dict[str, Any]:
    (step,) = (one for one in job_of(text, job)["steps"] if one.get("name") == name)
    return dict(step)


def test_in_parts_the_same_is_asked_before_a_publication() -> None:
    whole = step_of(PUBLISH["a laboratory's"], "build", DECIDES)["run"]
    parts = step_of(SHARDED, "published", DECIDES)["run"]

    assert [x for x in parts.splitlines() if x not in whole.splitlines()] == [
        'echo "url=$URL" >>"$GITHUB_OUTPUT"'
    ]
    left_out = [x.strip() for x in whole.splitlines() if x not in parts.splitlines()]
    assert [x.split(" --")[0] for x in left_out] == [
        "buildsite build",
        "buildsite build",
        '--previous "$RUNNER_TEMP/manifest.json"',
        "buildsite verify",
    ]


@pytest.mark.parametrize("first", [True, False])
def test_each_machine_builds_a_part_and_one_joins_them(
    tmp_path: Path, *, first: bool
) -> None:
    made = 'while [[ $1 != --out ]]; do shift; done; mkdir -p "$2"; touch "$2/page"'
    says = f'echo "$*" >>"{tmp_path}/asked"; [[ $1 == verify ]] || {{ {made}; }}'
    script(tmp_path / "bin/buildsite", says)
    if not first:
        (tmp_path / "manifest.json").write_bytes(MANIFEST)
    env = {"PATH": f"{tmp_path / 'bin'}:/usr/bin:/bin", "RUNNER_TEMP": str(tmp_path)}
    site = {"needs.published.outputs.url": "https://lab.example/"}
    numbers = job_of(SHARDED, "shard")["strategy"]["matrix"]["shard"]

    for number in numbers:
        step = step_of(SHARDED, "shard", "Build the part")
        done = run_step(step, tmp_path, {**site, "matrix.shard": number}, env)
        assert done.status == 0, done.out
    shutil.rmtree(tmp_path / "shards")  # only the archives of the parts travel
    done = run_step(
        step_of(SHARDED, "build", "Join the parts, and verify the site"),
        *(tmp_path, site, env),
    )

    assert done.status == 0, done.out
    assert sorted(path.name for path in (tmp_path / "shards").iterdir()) == numbers
    before = "" if first else f" --previous {tmp_path}/manifest.json"
    head = f"build --release --base-url https://lab.example/{before}"
    assert asked(tmp_path).splitlines() == [
        *(f"{head} --shard {n}/3 --out {tmp_path}/shards/{n}" for n in "123"),
        f"{head} --merge {tmp_path}/shards --out site",
        "verify --site site",
    ]


def test_a_laboratory_that_asks_for_shards_gets_them(tmp_path: Path) -> None:
    named = ("--name", "Lab", "--place", "Town", "--seen-by", "public", "--defaults")
    who = ("--git-name", "A", "--git-email", "a@lab.example")
    ran = run("init", tmp_path / "lab", *named, *who, "--shards", "3")

    assert ran.status == 0, ran.err
    text = (tmp_path / "lab/.github/workflows/publish.yml").read_text("utf-8")
    assert text == SHARDED
