"""A local preview of the site, rebuilt when a record changes."""

import re
import signal
import time
from collections.abc import Callable
from functools import partial
from http import HTTPStatus
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from stat import S_ISREG
from threading import Thread

LOOK_EVERY_S = 0.7

HERE = re.compile(r"(127\.0\.0\.1|localhost)(:[0-9]+)?", re.IGNORECASE)
"""Host of a request to this machine."""

State = dict[str, tuple[int, int]]


class QuietHandler(SimpleHTTPRequestHandler):
    """Serves files of the site without logging each request."""

    def parse_request(self) -> bool:
        """
        Refuse a request that is not addressed to this machine.

        A page elsewhere can have its own name lead to 127.0.0.1, and would read the
        laboratory's copy through the browser that shows it.
        """
        if not super().parse_request():
            return False
        asked = self.headers.get_all("Host", [])
        if len(asked) == 1 and HERE.fullmatch(asked[0]):
            return True
        self.send_error(HTTPStatus.MISDIRECTED_REQUEST)
        return False

    def log_message(self, format: str, *words: object) -> None:
        """Log nothing: the terminal is for the output of the build."""

    def end_headers(self) -> None:
        """Keep browsers from caching a page."""
        self.send_header("Cache-Control", "no-store")
        super().end_headers()


def state_of(records: Path) -> State:
    """Return the time and size of every file under records/, to detect a change."""
    found: State = {}
    for path in records.rglob("*"):
        try:
            about = path.stat()
        except OSError:
            continue  # an editor has just replaced it
        if S_ISREG(about.st_mode):
            found[str(path)] = (about.st_mtime_ns, about.st_size)
    return found


def open_server(site: Path, port: int) -> ThreadingHTTPServer:
    """
    Serve a folder on 127.0.0.1, and nowhere else.

    Raises
    ------
    OSError
        If the port is taken.
    """
    handler = partial(QuietHandler, directory=str(site))
    return ThreadingHTTPServer(("127.0.0.1", port), handler)


def watch(
    records: Path, rebuild: Callable[[], None], stopped: Callable[[], bool]
) -> None:
    """Rebuild whenever a file under records/ changes, until `stopped` says so."""
    before = state_of(records)
    while not stopped():
        time.sleep(LOOK_EVERY_S)
        now = state_of(records)
        if now != before:
            before = now
            rebuild()


def serve(
    server: ThreadingHTTPServer, records: Path, rebuild: Callable[[], None]
) -> None:
    """
    Answer requests in the background and watch the records, until interrupted.

    Ctrl-C lets a running build end; a second one does not wait. The handler is set even
    where a script's shell started this in the background, with interrupts ignored.
    """
    interrupts: list[int] = []

    def interrupted(signum: int, frame: object) -> None:
        interrupts.append(signum)
        signal.signal(signal.SIGINT, signal.default_int_handler)

    Thread(target=server.serve_forever, daemon=True).start()
    earlier = signal.signal(signal.SIGINT, interrupted)
    try:
        watch(records, rebuild, lambda: bool(interrupts))
    finally:
        signal.signal(signal.SIGINT, earlier)
        server.shutdown()
        server.server_close()
