"""What a reader of a report can ask: its short address, and its code."""

DIGITS, GROUP = 12, 4


def page_address(base: str, test: str) -> str:
    """
    Return the address of a test's page below that of the site; blank if none is known.

    The page shows the last revision, so the address holds for all of them.

    >>> page_address("https://soils.example/reports", "HF-0117")
    'https://soils.example/reports/tests/HF-0117/'
    """
    return f"{base.rstrip('/')}/tests/{test}/" if base else ""


def report_code(content: str) -> str:
    """
    Return the first digits of a content digest, in groups that a person can read out.

    >>> report_code("sha256:4f2a91c077de0123456789")
    '4f2a 91c0 77de'
    """
    digits = content.rpartition(":")[2][:DIGITS]
    return " ".join(digits[at : at + GROUP] for at in range(0, len(digits), GROUP))
