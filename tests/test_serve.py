"""A preview: on this machine alone, built again when a record changes."""

import os
import re
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from http.client import HTTPConnection
from pathlib import Path
from threading import Thread

import pytest

from buildsite import serve as serving
from buildsite.serve import open_server, state_of, watch
from tests.archives import sound
from tests.cli.running import run
from tests.clones import write

POUNDS = "records/marsh-lane/tests/ML-101.yaml"


def test_only_this_machine_is_served(tmp_path: Path) -> None:
    with open_server(tmp_path, 0) as server:
        assert server.server_address[0] == "127.0.0.1"
        assert server.server_address[1] != 0


def test_a_page_is_served_and_never_kept_by_the_browser(
    tmp_path: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    write(tmp_path / "site", {"index.html": b"<p>here"})
    write(tmp_path, {"secret.txt": b"outside"})
    with open_server(tmp_path / "site", 0) as server:
        thread = Thread(target=server.serve_forever, daemon=True)
        thread.start()
        connection = HTTPConnection("127.0.0.1", int(server.server_address[1]))
        connection.request("GET", "/index.html")
        answer = connection.getresponse()
        body = answer.read()
        connection.request("GET", "/../secret.txt")
        outside = connection.getresponse()
        outside.read()
        connection.close()
        server.shutdown()
        thread.join()

    assert (answer.status, body) == (200, b"<p>here")
    assert answer.getheader("Cache-Control") == "no-store"
    assert outside.status == 404
    assert capfd.readouterr() == ("", "")


@pytest.mark.parametrize(
    ("hosts", "status"),
    [
        (["127.0.0.1"], 200),
        (["127.0.0.1:8000"], 200),
        (["localhost:8000"], 200),
        (["LocalHost"], 200),
        ([], 421),
        ([""], 421),
        (["lab.example"], 421),
        (["lab.example:8000"], 421),
        (["localhost.lab.example"], 421),
        (["127.0.0.1.lab.example"], 421),
        (["localhost", "lab.example"], 421),
        (["10.0.0.7"], 421),
    ],
)
@pytest.mark.parametrize("method", ["GET", "HEAD"])
def test_only_a_request_addressed_to_this_machine_is_answered(
    tmp_path: Path, method: str, hosts: list[str], status: int
) -> None:
    # A page elsewhere whose name leads to 127.0.0.1 has its own name as Host.
    write(tmp_path, {"index.html": b"<p>secret"})
    with open_server(tmp_path, 0) as server:
        thread = Thread(target=server.serve_forever, daemon=True)
        thread.start()
        connection = HTTPConnection("127.0.0.1", int(server.server_address[1]))
        connection.putrequest(method, "/index.html", skip_host=True)
        for host in hosts:
            connection.putheader("Host", host)
        connection.endheaders()
        answer = connection.getresponse()
        body = answer.read()
        connection.close()
        server.shutdown()
        thread.join()

    assert answer.status == status
    assert (b"secret" in body) is (status == 200 and method == "GET")


def test_a_change_of_any_file_is_seen(tmp_path: Path) -> None:
    path = write(tmp_path, sound()) / POUNDS
    first = state_of(tmp_path / "records")
    assert state_of(tmp_path / "records") == first

    path.write_bytes(path.read_bytes() + b"# more\n")
    longer = state_of(tmp_path / "records")
    assert longer != first

    about = path.stat()
    os.utime(path, ns=(about.st_atime_ns, about.st_mtime_ns + 1))
    touched = state_of(tmp_path / "records")
    assert touched != longer

    path.unlink()
    assert state_of(tmp_path / "records") != touched


def test_a_link_to_nowhere_is_passed_over(tmp_path: Path) -> None:
    # As an editor's lock file is, or a file that is replaced while one looks.
    (tmp_path / ".#lock").symlink_to("user@host.1234")

    assert state_of(tmp_path) == {}


def test_each_change_builds_once(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    states: Iterator[dict[str, tuple[int, int]]] = iter(
        [{}, {}, {"a": (1, 1)}, {"a": (1, 1)}, {"a": (2, 1)}, {}]
    )
    built: list[int] = []

    def look(records: Path) -> dict[str, tuple[int, int]]:
        try:
            return next(states)
        except StopIteration:
            raise KeyboardInterrupt from None

    monkeypatch.setattr(serving, "state_of", look)
    monkeypatch.setattr(serving, "LOOK_EVERY_S", 0)

    with pytest.raises(KeyboardInterrupt):
        watch(tmp_path, lambda: built.append(1), lambda: False)

    assert len(built) == 3


def test_a_port_that_is_taken_is_of_the_environment(tmp_path: Path) -> None:
    root = write(tmp_path / "archive", sound())
    with open_server(tmp_path, 0) as server:
        ran = run("serve", "--root", root, "--port", str(server.server_address[1]))

    assert ran.status == 3
    assert "Can't use port" in ran.err
    assert ran.out == ""


def wait_for(connection: HTTPConnection, words: bytes, within_s: float) -> bool:
    end = time.monotonic() + within_s
    while time.monotonic() < end:
        connection.request("GET", "/tests/ML-101/index.html")
        if words in connection.getresponse().read():
            return True
        time.sleep(0.1)
    return False


def test_a_changed_record_shows_in_the_preview(tmp_path: Path) -> None:
    root = write(tmp_path, sound())
    program = "from buildsite.cli import main; main()"
    process = subprocess.Popen(
        [sys.executable, "-c", program, "serve", "--port", "0", "--root", str(root)],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env=os.environ | {"PYTHONPATH": str(Path(__file__).parents[1])},
    )
    try:
        assert process.stdout is not None
        address = process.stdout.readline()
        found = re.fullmatch(r"http://127\.0\.0\.1:([0-9]+)/index\.html\n", address)
        assert found, address
        connection = HTTPConnection("127.0.0.1", int(found[1]))
        assert not wait_for(connection, b"read again at noon", 0.1)
        path = root / POUNDS
        path.write_bytes(path.read_bytes() + b"remarks: read again at noon\n")
        assert wait_for(connection, b"read again at noon", 120)
        connection.close()
    finally:
        process.send_signal(signal.SIGINT)
        _, said = process.communicate(timeout=120)

    assert process.returncode == 0, said
    assert said.count("2 tests,") == 2
    assert said.endswith("stopped\n")
    assert sorted(path.name for path in tmp_path.iterdir()) == ["records"]
