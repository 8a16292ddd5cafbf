"""What a kept PDF may hold: whatever else a viewer could do with one is refused."""

from collections.abc import Sequence

import pytest

from buildsite.record.kept_pdf import attached, why_refused

HEAD = b"%PDF-1.7\n%\xf0\x9f\x96\xa4\n"
RESULT = b'{"id": "ML-101"}'
STREAM = "<</Length %d%s>>\nstream\n%s\nendstream"


def stream(data: str, more: str = "") -> str:
    return STREAM % (len(data), more, data)


SOUND = (
    "<</Type /Pages/Kids [3 0 R]/Count 1>>",
    "<</Type /Catalog/Pages 1 0 R/Lang (en)/MarkInfo <</Marked true>>>>",
    "<</Type /Page/Parent 1 0 R/MediaBox [0 0 595.27 841.89]/Contents 4 0 R>>",
    stream("BT /KTGASA 12 Tf <0024> Tj ET"),
    stream(RESULT.decode(), "/Type /EmbeddedFile/Subtype /application#2fjson"),
    r"<</Title (ML-101 r0 \(of a \(test\)\) /JavaScript)>>",
)
"""Objects of a small PDF, as the library writes them."""


def pdf(
    objects: Sequence[str] = SOUND, trailer: str = "/Root 2 0 R/Info 6 0 R"
) -> bytes:
    """A PDF of these objects, with a table of offsets that fits."""
    data, offsets = HEAD, []
    for number, body in enumerate(objects, start=1):
        offsets.append(len(data))
        data += f"{number} 0 obj\n{body}\nendobj\n".encode("latin-1")
    table = "".join(f"{at:010} 00000 n \n" for at in offsets)
    size = len(objects) + 1
    end = (
        f"xref\n0 {size}\n0000000000 65535 f \n{table}"
        f"trailer\n<<\n/Size {size}\n{trailer}\n>>\nstartxref\n{len(data)}\n%%EOF\n"
    )
    return data + end.encode()


def other(place: int, was: str, now: str) -> bytes:
    """The sound PDF with one text of one object changed."""
    objects = list(SOUND)
    assert was in objects[place], objects[place]
    objects[place] = objects[place].replace(was, now)
    return pdf(objects)


def test_a_sound_one_may_be_kept() -> None:
    # What is written in a title is text, whatever it says.
    assert why_refused(pdf()) == ()
    assert attached(pdf()) == RESULT


HERE = "https://reports.lab.example/tests/ML-101/"
LINK = "/Annots [<</Type /Annot/Subtype /Link/Rect [0 0 1 1]/A <</S /URI/URI (%s)>>>>]"


def test_one_plain_link_may_stand_in_it() -> None:
    data = other(2, "/Contents", f"{LINK % HERE}/Contents")

    assert why_refused(data, HERE) == ()
    assert why_refused(data) == (f"a link to {HERE}",)
    assert why_refused(data, HERE.replace("101", "102")) != ()


@pytest.mark.parametrize("address", ["javascript:alert", "file:///etc/x", "mailto:a@b"])
def test_no_other_link(address: str) -> None:
    data = other(2, "/Contents", f"{LINK % address}/Contents")

    assert why_refused(data, address) != ()


def test_not_two_addresses() -> None:
    links = LINK % HERE + LINK % "https://other.example/"

    found = why_refused(other(2, "/Contents", f"{links}/Contents"), HERE)
    assert found == ("a link to https://other.example/",)


@pytest.mark.parametrize(
    "key",
    [
        "/OpenAction <</S /JavaScript/JS (app.alert(1))>>",
        "/OpenAction [3 0 R /XYZ 0 0 0]",
        "/AA <</O <</S /Launch/F (calc.exe)>>>>",
        "/AcroForm <</Fields []>>",
        "/A <</S /SubmitForm/F (https://x.example)>>",
        "/A <</S /GoToR/F (other.pdf)/D [0 /Fit]>>",
        "/A <</S /Launch/F (calc.exe)>>",
        "/#4aavaScript 1",  # a name may be spelled by the codes of its letters
        "/J#61vaScript 1",
        "/Encrypt 1",
        "/Perms 1",
        "/Collection 1",
        "/Names <</JavaScript <</Names []>>>>",
    ],
)
def test_what_acts_or_opens_something_is_refused(key: str) -> None:
    assert why_refused(other(1, "/Lang", f"{key}/Lang")) != ()


def test_a_movie_and_a_picture_are_refused() -> None:
    for kind in ("/Subtype /RichMedia", "/Subtype /Movie", "/Subtype /Image"):
        assert why_refused(other(2, "/Contents", f"/XObject {kind}/Contents")) != ()


def test_a_stream_in_another_file_is_refused() -> None:
    found = why_refused(other(3, "<</Length", "<</F (secret.txt)/Length"))

    assert found == ("a stream in another file",)


@pytest.mark.parametrize(
    "key", ["/Filter /FlateDecode", "/Type /ObjStm", "/Type /XRef"]
)
def test_nothing_is_packed(key: str) -> None:
    assert why_refused(other(3, "<</Length", f"<<{key}/Length")) != ()


def test_no_object_hides_in_a_stream() -> None:
    # A viewer that repairs a file looks for objects anywhere in it.
    hidden = "7 0 obj <</S /JavaScript/JS (x)>> endobj"
    objects = [*SOUND[:3], stream(hidden), *SOUND[4:]]

    assert why_refused(pdf(objects)) == ("/JavaScript in a stream",)


def test_not_by_a_table_that_leads_into_a_stream() -> None:
    inside = "<</Type /Catalog/Pages 1 0 R>>"
    data = pdf([*SOUND[:3], stream(inside), *SOUND[4:]])
    start = data.index(inside.encode(), data.index(b"4 0 obj"))
    honest = f"{data.index(b'2 0 obj'):010}".encode()

    assert why_refused(data) == ()
    assert why_refused(data.replace(honest, f"{start:010}".encode())) != ()


def test_nothing_is_added_behind_it() -> None:
    # So PDFs are amended, and so the same file can show two things.
    update = b"7 0 obj\n<</OpenAction 1>>\nendobj\nxref\n0 0\ntrailer\n<<>>\n%%EOF\n"

    assert why_refused(pdf() + update) != ()
    assert why_refused(pdf() + b"\n") != ()
    assert why_refused(b"\n" + pdf()) != ()


def test_an_object_in_anothers_place_is_refused() -> None:
    data = pdf()

    assert why_refused(data.replace(b"\n6 0 obj", b"\n2 0 obj")) != ()
    assert why_refused(data.replace(b"%PDF-1.7", b"%PDF-1.4")) != ()
    assert why_refused(data.replace(b"/Length 29", b"/Length 28")) != ()
    assert why_refused(data[:-100]) != ()


def test_a_comment_is_refused() -> None:
    assert why_refused(other(1, "/Lang", "%/Lang\n/Lang")) != ()


def test_two_attached_files_are_refused() -> None:
    data = pdf([*SOUND, SOUND[4]])

    assert why_refused(data) == ("more than one attached file",)
    assert attached(data) is None


def test_bytes_of_any_sort_raise_nothing() -> None:
    for data in (b"", b"%PDF-1.7\n%\xf0\x9f\x96\xa4\n1 0 obj\n(((\nendobj\n", HEAD * 3):
        assert why_refused(data) != ()
        assert attached(data) is None


HIDING = rf"/A <</S /URI/URI ({HERE})>>/Title (\/S /URI/URI({HERE}))"


def test_a_link_in_a_text_hides_nothing_behind_it() -> None:
    # To a viewer the title ends with the second bracket, and an action follows.
    data = other(1, "/Lang", rf"{HIDING} /OpenAction <</S /JavaScript/JS (x)>>/Lang")

    assert "/OpenAction" in why_refused(data, HERE)


@pytest.mark.parametrize(
    "length",
    [
        "/Length 16 0 R",  # what object 16 says
        "/Length\n3/Title (/Length 16)",
        "/Length 16/Length\n3",
    ],
)
def test_a_stream_has_one_length_for_every_reader(length: str) -> None:
    assert why_refused(other(4, "/Length 16", length)) != ()


def test_an_attached_result_is_in_the_file_itself() -> None:
    found = why_refused(other(4, "/Type", "/F (secret.txt)/Type"))

    assert found == ("a stream in another file",)


def test_no_earlier_table_of_objects_is_followed() -> None:
    # It could lead into a stream, to an object whose names are spelled by codes.
    assert why_refused(pdf(trailer="/Root 2 0 R/Info 6 0 R/Prev 100")) != ()
    assert why_refused(pdf(trailer="/Root 2 0 R/Info 6 0 R/Size 9")) != ()


def test_what_is_referred_to_is_there() -> None:
    # A viewer that misses an object looks for it everywhere, in streams too.
    assert why_refused(pdf(trailer="/Root 7 0 R/Info 6 0 R")) != ()
    assert why_refused(other(1, "/Pages 1 0 R", "/Pages 7 0 R")) != ()
    assert why_refused(other(1, "/Pages 1 0 R", "/Pages 1 1 R")) != ()
    assert why_refused(pdf(trailer="/Info 6 0 R")) != ()


def test_no_stream_has_what_could_be_taken_for_an_object() -> None:
    objects = list(SOUND)
    objects[3] = stream("7 0 obj\n<</Names <</J#61vaScript 1>>>>\nendobj")

    assert why_refused(pdf(objects)) != ()
