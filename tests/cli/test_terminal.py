"""A person who leaves ends the wait for a line, and nothing after it."""

import signal

import pytest

from buildsite.cli.terminal import Gone, Terminal


def test_a_second_signal_does_not_end_more_than_the_wait() -> None:
    # A terminal that is closed sends one, and the shell another right after it.
    terminal = Terminal({})
    terminal.waiting = True

    with pytest.raises(Gone):
        terminal.left(signal.SIGHUP, None)
    terminal.left(signal.SIGTERM, None)

    assert terminal.gone
