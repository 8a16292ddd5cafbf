"""The QR code of an address (ISO/IEC 18004). Only this module uses segno."""

from base64 import b64encode
from functools import lru_cache
from io import BytesIO

QUIET = 4
"""Blank modules around the code that readers ask for (ISO/IEC 18004:2015, 6.3.8)."""


@lru_cache(maxsize=256)
def qr_code(address: str) -> str:
    """Return the code of an address as a data URL; blank without an address."""
    if not address:
        return ""
    import segno

    drawn = BytesIO()
    code = segno.make(address, error="m", micro=False)
    code.save(drawn, kind="svg", xmldecl=False, omitsize=True, border=QUIET)
    return f"data:image/svg+xml;base64,{b64encode(drawn.getvalue()).decode()}"
