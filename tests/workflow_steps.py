"""Steps of a workflow, run here as the runner would: checkouts and shell steps."""

import os
import subprocess
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import yaml

from tests.clones import git

Values = Mapping[str, str]
"""What the runner would put in the place of each expression."""


@dataclass(frozen=True)
class Done:
    """How a job ended: exit status of the first step that failed, and its output."""

    status: int
    out: str


def job_of(text: bytes | str, name: str) -> dict[str, Any]:
    """Return one job of a workflow."""
    jobs = yaml.load(text, yaml.CBaseLoader)["jobs"]  # noqa: S506  `on` is a text
    job: dict[str, Any] = jobs[name]
    return job


def expanded(text: str, values: Values) -> str:
    """Put values in the place of expressions; an unknown one is an error."""
    while "${{" in text:
        before, _, rest = text.partition("${{")
        expression, _, after = rest.partition("}}")
        text = before + values[expression.strip()] + after
    return text


def run_job(
    job: Mapping[str, Any],
    folder: Path,
    values: Values,
    *,
    origin: Path | None = None,
    env: Values,
) -> Done:
    """Run the checkouts and the shell steps of a job, in a folder of its own."""
    out = ""
    for step in job["steps"]:
        wanted = step.get("if")
        if wanted is not None and values[wanted] != "true":
            continue
        if step.get("uses", "").startswith("actions/checkout@"):
            assert origin is not None
            check_out(origin, folder, step["with"], values)
        elif "run" in step:
            done = run_step(step, folder, values, env)
            out += done.out
            if done.status:
                return Done(done.status, out)
    return Done(0, out)


def run_step(
    step: Mapping[str, Any], folder: Path, values: Values, env: Values
) -> Done:
    """Run one shell step, as GitHub does where no shell is named: `bash -e`."""
    given = {k: expanded(v, values) for k, v in step.get("env", {}).items()}
    kept = {k: v for k, v in os.environ.items() if not k.startswith("GIT_")}
    done = subprocess.run(
        ["bash", "-e", "-c", step["run"]],
        cwd=folder,
        env={**kept, **env, **given},
        capture_output=True,
        text=True,
        check=False,
    )
    return Done(done.returncode, done.stdout + done.stderr)


def check_out(origin: Path, folder: Path, given: Values, values: Values) -> None:
    """Check out as the action does: every branch of the origin, the commit detached."""
    place = folder / given.get("path", ".")
    git(folder, "clone", "--quiet", "--no-checkout", str(origin), str(place))
    ref = expanded(given["ref"], values)
    named = git(place, "branch", "--remotes", "--list", f"origin/{ref}")
    git(place, "checkout", "--quiet", "--detach", f"origin/{ref}" if named else ref)
