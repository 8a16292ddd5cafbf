"""Where a reader of a report asks whether it still holds: its short address."""

import re


def page_address(base: str, test: str) -> str:
    """
    Return the address of a test's page below that of the site; blank if none is known.

    The page shows the last revision, so the address holds for all of them.

    >>> page_address("https://soils.example/reports", "HF-0117")
    'https://soils.example/reports/tests/HF-0117/'
    """
    return f"{base.rstrip('/')}/tests/{test}/" if base else ""


def stated_address(data: bytes, test: str) -> str:
    """
    Return the first address in a report that is of its test's page on some site.

    >>> stated_address(b'<a href="https://soils.example/tests/A-1/">', "A-1")
    'https://soils.example/tests/A-1/'
    >>> stated_address(b'<a href="https://soils.example/tests/A-1/">', "A-2")
    ''
    """
    page = re.escape(f"/tests/{test}/".encode())
    found = re.search(rb"""https?://[^\s"<>()]+?""" + page + rb'(?=[")])', data)
    return found[0].decode("ascii") if found is not None else ""
