"""Where a reader of a report asks whether it still holds: its short address."""


def page_address(base: str, test: str) -> str:
    """
    Return the address of a test's page below that of the site; blank if none is known.

    The page shows the last revision, so the address holds for all of them.

    >>> page_address("https://soils.example/reports", "HF-0117")
    'https://soils.example/reports/tests/HF-0117/'
    """
    return f"{base.rstrip('/')}/tests/{test}/" if base else ""
