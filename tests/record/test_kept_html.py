"""A kept report holds no script and no form, and loads nothing from outside itself."""

import base64
from pathlib import Path

import pytest

from buildsite.record.kept_html import why_refused

ROOT = Path(__file__).parents[2]
KEPT = sorted((ROOT / "records").rglob("*.r*.html"))
HEAD = (
    '<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
    '<link rel="icon" href="data:,">\n<style>p { color: var(--ink) }</style>\n'
    "</head>\n"
)


def page(body: str) -> bytes:
    """A small report."""
    return f"{HEAD}<body>\n<p>108.0</p>\n{body}\n</body>\n</html>\n".encode()


def picture(svg: str) -> str:
    """An embedded picture."""
    whole = f'<svg xmlns="http://www.w3.org/2000/svg">{svg}</svg>'
    data = base64.b64encode(whole.encode()).decode()
    return f'<img src="data:image/svg+xml;base64,{data}" alt="">'


@pytest.mark.parametrize("path", KEPT, ids=lambda path: path.name)
def test_every_report_of_the_demo_may_be_kept(path: Path) -> None:
    test = path.name.partition(".r")[0]
    address = f"https://kestrel-bend.example/tests/{test}/"  # as lab.yaml says

    assert why_refused(path.read_bytes(), address) == ()


@pytest.mark.parametrize(
    "body",
    [
        "",
        '<section class="scroll" tabindex="0" aria-labelledby="points"></section>',
        "<p>a &lt;script&gt; in words, 1 &lt; 2 &amp; 3</p>",
        picture('<path id="a" d="M 0 0" style="fill: none"/><use xlink:href="#a"/>'),
    ],
)
def test_what_templates_write_may_be_kept(body: str) -> None:
    assert why_refused(page(body)) == ()


@pytest.mark.parametrize(
    "body",
    [
        # scripts
        "<script>alert(1)</script>",
        "<SCRIPT SRC='https://a.example/x.js'></SCRIPT>",
        "<script/src=data:,alert(1)>",
        "<scr\x00ipt>alert(1)</script>",
        '<p onclick="alert(1)">108.0</p>',
        '<p ONCLICK="alert(1)">108.0</p>',
        "<p onclick=alert(1)>108.0</p>",
        '<img src="x" onerror="alert(1)">',
        '<a href="javascript:alert(1)">108.0</a>',
        '<a href="https://a.example/">108.0</a>',
        "<svg><script>alert(1)</script></svg>",
        "<svg/onload=alert(1)>",
        '<math><mi xlink:href="javascript:alert(1)">x</mi></math>',
        "<noscript><p title='</noscript><img src=x onerror=alert(1)>'></noscript>",
        "<template><p>108.0</p></template>",
        # what turns the order of digits
        "<p>\u202e0.801</p>",
        "<p>\u20670.801</p>",
        # forms
        '<form action="https://a.example/"></form>',
        '<input name="a">',
        '<button formaction="https://a.example/">x</button>',
        "<textarea></textarea>",
        # what is loaded
        '<img src="https://a.example/x.png" alt="">',
        '<img src="//a.example/x.png" alt="">',
        '<img src="x.png" alt="">',
        '<img src="https://a.example/x" src="data:image/png;base64,AAAA" alt="">',
        '<img src="data:image/png;base64,AAAA" srcset="https://a.example/x 2x" alt="">',
        '<img src="data:text/html;base64,AAAA" alt="">',
        '<img src="data:image/svg+xml,<svg onload=alert(1)>" alt="">',
        '<link rel="stylesheet" href="https://a.example/x.css">',
        '<link rel="icon" href="https://a.example/x.ico">',
        '<link rel="prefetch" href="data:,">',
        '<meta http-equiv="refresh" content="0;url=https://a.example/">',
        '<meta http-equiv="set-cookie" content="a=b">',
        '<base href="https://a.example/">',
        '<iframe src="https://a.example/"></iframe>',
        '<iframe srcdoc="x"></iframe>',
        '<object data="https://a.example/"></object>',
        '<embed src="https://a.example/">',
        '<video src="https://a.example/"></video>',
        '<audio src="https://a.example/"></audio>',
        '<table background="https://a.example/x.png"></table>',
        '<p style="background: url(https://a.example/x)">108.0</p>',
        # styles
        "<style>@import 'https://a.example/x.css';</style>",
        "<style>@font-face { src: url(https://a.example/x) }</style>",
        "<style>p { background: url(https://a.example/x) }</style>",
        "<style>p { background: URL('https://a.example/x') }</style>",
        "<style>p { background: \\75rl(https://a.example/x) }</style>",
        "<style>p { background: image-set('https://a.example/x' 1x) }</style>",
        '<style>p { content: "/*"; background: url(x); top: "*/" }</style>',
        "<style>p { color: red }</style x><script>alert(1)</script>",
        "<style>p { color: red } </styl",
        # pictures
        picture("<script>alert(1)</script>"),
        picture("<foreignObject><p>1</p></foreignObject>"),
        picture('<use href="https://a.example/x.svg#a"/>'),
        picture('<use xlink:href="https://a.example/x.svg#a"/>'),
        picture('<image href="https://a.example/x.png"/>'),
        picture('<path onload="alert(1)" d="M 0 0"/>'),
        picture('<path fill="url(https://a.example/x)" d="M 0 0"/>'),
        picture("<style>@import 'https://a.example/x.css';</style>"),
        picture("<style>&#64;import 'https://a.example/x.css';</style>"),
        picture("<style>p { fill: &#117;rl(https://a.example/x) }</style>"),
        picture('<a xlink:href="javascript:alert(1)"><text>1</text></a>'),
        picture('<!ENTITY a SYSTEM "https://a.example/">'),
        # what no report ever had
        "<!-- 108.0 -->",
        "<!--[if IE]><p>1</p><![endif]-->",
        "<![CDATA[ 1 ]]>",
        "<?xml version='1.0'?>",
        "1 < 2",
        "<p title='a'>108.0</p>",
    ],
)
def test_what_runs_sends_or_loads_is_refused(body: str) -> None:
    assert why_refused(page(body)) != ()


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"ML-101 r0",
        b"\xff\xfe<\x00p\x00",
        b"\xef\xbb\xbf" + page(""),
        b"<p>108.0</p>" + page(""),
        page("").replace(b'"utf-8"', b'"utf-16"'),
        page("").replace(b"<!doctype html>", b""),
    ],
)
def test_what_is_no_page_of_ours_is_refused(data: bytes) -> None:
    assert why_refused(data) != ()


def test_the_line_and_what_stands_there_are_told() -> None:
    (why,) = why_refused(page("<!-- 118.0 -->"))

    assert why.startswith("line 10: '<!-- 118.0 -->")


HERE = "https://soils.example/tests/HF-0117/"
LINK = f'<a href="{HERE}">{HERE}</a>'


def test_the_one_plain_link_to_its_test_may_stand_there() -> None:
    assert why_refused(page(f"<p>Still good? {LINK}</p>"), HERE) == ()
    assert why_refused(page(""), HERE) == ()


def test_without_an_address_there_is_no_link() -> None:
    assert why_refused(page(LINK)) != ()


@pytest.mark.parametrize(
    "body",
    [
        # another address
        LINK.replace("https", "http"),
        LINK.replace("soils.example", "soils.example.evil.example"),
        LINK.replace("https://", "https://soils.example@evil.example/"),
        LINK.replace("https://", "https://a:b@"),
        LINK.replace("https:", ""),
        LINK.replace("HF-0117", "HF-0118"),
        LINK.replace("HF-0117/", "HF-0117/?to=https://evil.example/"),
        LINK.replace("HF-0117/", "HF-0117/#x"),
        LINK.replace("HF-0117/", "HF-0117/../../x/"),
        LINK.replace("tests", "Tests"),
        LINK.replace("https://soils.example", "https://soils.example:8443"),
        '<a href="javascript:alert(1)">108.0</a>',
        '<a href="java&#115;cript:alert(1)">108.0</a>',
        '<a href="data:text/html;base64,AAAA">108.0</a>',
        '<a href=" https://soils.example/tests/HF-0117/">108.0</a>',
        '<a href="&#104;ttps://soils.example/tests/HF-0117/">108.0</a>',
        # another way to write it
        f'<A HREF="{HERE}">108.0</A>',
        f"<a href={HERE}>108.0</a>",
        f"<a href='{HERE}'>108.0</a>",
        f'<a href="{HERE}"/>108.0</a>',
        # more than the address
        f'<a href="{HERE}" onclick="alert(1)">108.0</a>',
        f'<a href="{HERE}" target="_blank">108.0</a>',
        f'<a href="{HERE}" ping="https://evil.example/">108.0</a>',
        f'<a href="{HERE}" download>108.0</a>',
        f'<a href="{HERE}" class="x">108.0</a>',
        f'<a class="x" href="{HERE}">108.0</a>',
        f'<a href="https://evil.example/" href="{HERE}">108.0</a>',
        f'<area href="{HERE}">',
        # more than one
        LINK + LINK,
        f'<a href="{HERE}"><a href="{HERE}">108.0</a></a>',
        f'{LINK}<a href="https://evil.example/">108.0</a>',
        f"{LINK}</a>",
        f"</a>{LINK}",
        f'<a href="{HERE}">108.0',
        # where it is no link
        f"<style>{LINK}</style>",
        f'<p title="{LINK}">108.0</p>',
        picture(f'<a href="{HERE}"><text>1</text></a>'),
    ],
)
def test_any_other_link_is_refused(body: str) -> None:
    assert why_refused(page(body), HERE) != ()
