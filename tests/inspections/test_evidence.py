"""Uploads: judged by content, kept plain, refused in one sentence; and shown only to people of the house."""

import hashlib
import io

import pikepdf
import pytest
from django.http import Http404
from PIL import ExifTags, Image

from inspections.evidence import LONGEST_SIDE, MOST_PIXELS, check_upload, open_evidence
from inspections.exceptions import UploadRefused
from inspections.models import EvidenceItem
from inspections.process import EvidenceKind
from inspections.readings import Given
from takeoff.plan import Stage
from tests.inspections.world import jpeg

PHOTO, TICKET = EvidenceKind.PHOTO, EvidenceKind.TICKET


def picture(file_format: str, mode: str = "RGB", size=(60, 40), **save) -> bytes:
    out = io.BytesIO()
    Image.new(mode, size).save(out, file_format, **save)
    return out.getvalue()


def exif(**tags) -> Image.Exif:
    found = Image.Exif()
    found[ExifTags.Base.Make] = "A maker"
    found[ExifTags.Base.Orientation] = tags.pop("orientation", 1)
    found.get_ifd(ExifTags.IFD.Exif)[ExifTags.Base.DateTimeOriginal] = tags.pop("time", "2026:11:03 14:05:00")
    found.get_ifd(ExifTags.IFD.GPSInfo)[ExifTags.GPS.GPSLatitudeRef] = "N"
    return found


def ticket_pdf(pages: int = 1, change=None) -> bytes:
    out = io.BytesIO()
    with pikepdf.new() as pdf:
        for _ in range(pages):
            pdf.add_blank_page()
        if change:
            change(pdf)
        pdf.save(out)
    return out.getvalue()


@pytest.mark.parametrize(
    ("file_format", "mode"),
    [("JPEG", "RGB"), ("JPEG", "CMYK"), ("PNG", "RGBA"), ("PNG", "P"), ("PNG", "I;16"), ("WEBP", "RGB")],
)
def test_photos_of_usual_formats_are_kept_as_plain_jpeg(file_format, mode):
    kept = check_upload(picture(file_format, mode), PHOTO)
    image = Image.open(io.BytesIO(kept.content))
    assert (image.format, image.mode, image.size, kept.suffix) == ("JPEG", "RGB", (60, 40), "jpg")
    assert kept.sha256 == hashlib.sha256(kept.content).hexdigest()


def test_of_the_metadata_only_the_cameras_time_stays():
    kept = check_upload(jpeg(exif=exif()), PHOTO)
    found = Image.open(io.BytesIO(kept.content)).getexif()
    assert kept.camera_time == "2026:11:03 14:05:00"
    assert found.get_ifd(ExifTags.IFD.Exif) == {ExifTags.Base.DateTimeOriginal: "2026:11:03 14:05:00"}
    assert set(found) <= {ExifTags.IFD.Exif} and not found.get_ifd(ExifTags.IFD.GPSInfo)
    assert b"maker" not in kept.content


def test_a_camera_time_that_is_not_one_is_dropped():
    assert check_upload(jpeg(exif=exif(time="<script>alert</script>")), PHOTO).camera_time == ""


def test_a_photo_taken_sideways_stands_upright():
    kept = check_upload(jpeg((60, 40), exif=exif(orientation=6)), PHOTO)
    assert Image.open(io.BytesIO(kept.content)).size == (40, 60)


def test_a_large_photo_is_made_smaller():
    kept = check_upload(jpeg((LONGEST_SIDE + 800, 400)), PHOTO)
    assert max(Image.open(io.BytesIO(kept.content)).size) == LONGEST_SIDE


def test_words_hidden_behind_a_picture_are_not_kept():
    assert b"<script>" not in check_upload(jpeg() + b"<script>alert(1)</script>", PHOTO).content


def _bomb() -> bytes:
    """A header of a picture too large to open, without its pixels."""
    small = picture("PNG", size=(1, 1))
    side = 20_000
    header = small[:16] + side.to_bytes(4, "big") + side.to_bytes(4, "big") + small[24:29]
    import zlib

    return header + zlib.crc32(header[12:29]).to_bytes(4, "big") + small[33:]


@pytest.mark.parametrize(
    ("data", "kind", "said"),
    [
        (b"", PHOTO, "The file is empty"),
        (b"x" * (10 * 1024 * 1024 + 1), PHOTO, "The file is 10.0 MB; at most 10 MB"),
        (b"<html><script>alert(1)</script></html>", PHOTO, "not a picture that can be read; send JPEG, PNG or WebP."),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", PHOTO, "not a picture"),
        (picture("GIF"), PHOTO, "not a picture"),
        (picture("TIFF"), TICKET, "send JPEG, PNG, WebP or PDF"),
        (jpeg((600, 400))[:300], PHOTO, "damaged or cut short"),
        (_bomb(), PHOTO, "at most 60 million are kept"),
        (ticket_pdf(), PHOTO, "This is a PDF; a photo is asked for"),
        (ticket_pdf(21), TICKET, "has 21 pages"),
        (b"%PDF-1.7 nothing more", TICKET, "The PDF is damaged"),
    ],
    ids=lambda x: x if isinstance(x, str) else "",
)
def test_what_is_not_kept_is_refused_in_one_sentence(data, kind, said):
    with pytest.raises(UploadRefused) as refused:
        check_upload(data, kind)
    assert said in str(refused.value)


def test_a_picture_just_over_the_limit_of_pixels_is_refused():
    with pytest.raises(UploadRefused, match="pixels"):
        check_upload(picture("PNG", "1", (MOST_PIXELS // 1000 + 1, 1000)), PHOTO)


def test_a_ticket_as_pdf_is_written_anew():
    kept = check_upload(ticket_pdf() + b"<script>alert(1)</script>", TICKET)
    assert kept.suffix == "pdf" and kept.content.startswith(b"%PDF-") and b"<script>" not in kept.content


def _opens_a_script(pdf):
    pdf.Root.OpenAction = pikepdf.Dictionary(S=pikepdf.Name.JavaScript, JS="app.alert(1)")


def _carries_a_file(pdf):
    pdf.attachments["x.exe"] = b"MZ"


def _launches(pdf):
    action = pikepdf.Dictionary(S=pikepdf.Name.Launch, F="calc.exe")
    pdf.pages[0].Annots = pikepdf.Array(
        [pikepdf.Dictionary(Type=pikepdf.Name.Annot, Subtype=pikepdf.Name.Link, A=action)]
    )


def _acts_on_its_page(pdf):
    pdf.pages[0].AA = pikepdf.Dictionary(O=pikepdf.Dictionary(S=pikepdf.Name.URI, URI="x"))


@pytest.mark.parametrize("change", [_opens_a_script, _carries_a_file, _launches, _acts_on_its_page])
def test_a_pdf_that_acts_is_refused(change):
    with pytest.raises(UploadRefused, match="a script, an action or another file"):
        check_upload(ticket_pdf(change=change), TICKET)


def test_a_locked_pdf_is_refused():
    out = io.BytesIO()
    with pikepdf.new() as pdf:
        pdf.add_blank_page()
        pdf.save(out, encryption=pikepdf.Encryption(owner="a", user="b"))
    with pytest.raises(UploadRefused, match="locked with a password"):
        check_upload(out.getvalue(), TICKET)


# -- shown to whom
def test_people_of_the_house_open_its_evidence_and_nobody_else_does(site):
    site.present(Stage.FOOTING, "hole", "A")
    photo = EvidenceItem.objects.get(kind="photo")
    for part in ("builder", "field_lead", "inspector", "engineer", "surveyor"):
        file, content_type = open_evidence(site.cast.person(part), photo.pk)
        with file:
            assert hashlib.sha256(file.read()).hexdigest() == photo.sha256
        assert content_type == "image/jpeg"
    with pytest.raises(Http404):
        open_evidence(site.cast.stranger, photo.pk)


def test_evidence_without_a_file_is_not_found(site):
    site.present(Stage.FOOTING, "hole", "A")
    with pytest.raises(Http404):
        open_evidence(site.cast.builder, EvidenceItem.objects.get(key="depth").pk)


def test_a_permit_may_be_a_number_or_its_picture(site):
    checks = [Given("approved_set", text="yes")]
    site.present(Stage.FOOTING, "permit", evidence=[Given("permit_number", text="B-1207"), *checks])
    site.present(Stage.FOOTING, "permit", evidence=[Given("permit_number", file=ticket_pdf()), *checks])
    number, copy = EvidenceItem.objects.filter(key="permit_number")
    assert (number.text, bool(number.file), bool(copy.file)) == ("B-1207", False, True)
    file, content_type = open_evidence(site.cast.inspector, copy.pk)
    file.close()
    assert content_type == "application/pdf"
