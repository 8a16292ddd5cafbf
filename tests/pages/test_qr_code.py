"""The QR code of an address, read by another hand (zxing-cpp)."""

import base64
import re

import numpy as np
import pytest
import zxingcpp

from buildsite.pages.qr_code import QUIET, qr_code
from buildsite.record.kept_html import why_refused

SCALE = 6
STEP = re.compile(r"([Mmh])(-?[0-9.]+)(?: (-?[0-9.]+))?")


def drawn(address: str) -> str:
    """The code as SVG."""
    return base64.b64decode(qr_code(address).partition(",")[2]).decode()


def pixels(svg: str) -> "np.ndarray[tuple[int, int], np.dtype[np.uint8]]":
    """What its strokes cover, one module high each, on white."""
    size = int(re.findall(r'viewBox="0 0 (\d+) \1"', svg)[0])
    image = np.full((size, size), 255, np.uint8)
    (path,) = re.findall(r' d="([^"]*)"', svg)
    x = y = 0.0
    for how, across, down in STEP.findall(path):
        if how == "h":
            image[int(y), int(x) : int(x + float(across))] = 0
            x += float(across)
        elif how == "M":
            x, y = float(across), float(down)
        else:
            x, y = x + float(across), y + float(down or 0)
    return np.kron(image, np.ones((SCALE, SCALE), np.uint8))


@pytest.mark.parametrize(
    "address",
    [
        "https://soils.example/tests/HF-0117/",
        "https://reports.a-long-name-of-a-laboratory.example/soils/2026/tests/HF-F0231/",
    ],
)
def test_another_reader_reads_the_address(address: str) -> None:
    (found,) = zxingcpp.read_barcodes(pixels(drawn(address)))

    assert found.text == address
    assert found.format == zxingcpp.BarcodeFormat.QRCode


def test_four_modules_around_it_are_blank() -> None:
    # ISO/IEC 18004:2015, 6.3.8: a quiet zone of four modules on all sides.
    image = pixels(drawn("https://soils.example/tests/HF-0117/"))
    dark = np.argwhere(image == 0)

    assert QUIET == 4
    assert dark.min() == 4 * SCALE
    assert dark.max() == len(image) - 4 * SCALE - 1


def test_it_may_stand_in_a_kept_report() -> None:
    picture = f'<img src="{qr_code("https://soils.example/")}" alt="">'
    page = f'<!doctype html>\n<html lang="en"><body>{picture}</body></html>'

    assert why_refused(page.encode()) == ()


def test_without_an_address_there_is_none() -> None:
    assert qr_code("") == ""
