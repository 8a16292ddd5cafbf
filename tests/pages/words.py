"""What a page says, without its marks."""

from html import unescape
from re import sub


def words(data: bytes) -> str:
    """The words of a page, a blank between them."""
    return " ".join(unescape(sub("<[^>]*>", " ", data.decode())).split())
