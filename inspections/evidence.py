"""Photos and tickets as they arrive: judged by content, never by name, and kept as plain as they can be.

A photo is decoded and written anew as JPEG, so that nothing but pixels and the camera's time stays of it. A ticket
may also be a PDF; it is opened, refused where it could act by itself, and written anew, without what lies around it.
"""

from __future__ import annotations

import hashlib
import io
import re
from collections.abc import Iterator
from dataclasses import dataclass

import pikepdf
from django.conf import settings
from django.core.files.base import File
from django.http import Http404
from PIL import ExifTags, Image, ImageOps, UnidentifiedImageError

from inspections.exceptions import UploadRefused
from inspections.models import EvidenceItem
from inspections.process import EvidenceKind
from jobs import access
from jobs.models import Person

#: Formats a photo may arrive in. Of a JPEG that holds several pictures, as some phones make, the first is taken.
PHOTO_FORMATS = ("JPEG", "PNG", "WEBP")
#: More than any phone's camera; a decoded picture of this size takes 180 MB.
MOST_PIXELS = 60_000_000
#: A tape's marks are still read at this size.
LONGEST_SIDE = 3_200
QUALITY = 85
MOST_PDF_PAGES = 20
#: Names in a PDF that make it act, carry other files or ask for a program.
ACTIVE = frozenset(
    [
        "/JS",
        "/JavaScript",
        "/Launch",
        "/EmbeddedFile",
        "/EmbeddedFiles",
        "/EF",
        "/RichMedia",
        "/XFA",
        "/SubmitForm",
        "/ImportData",
        "/GoToR",
        "/GoToE",
        "/Rendition",
        "/Movie",
        "/Sound",
        "/3D",
        "/AA",
        "/OpenAction",
    ]
)
_CAMERA_TIME = re.compile(r"\d{4}:\d\d:\d\d \d\d:\d\d:\d\d")
CONTENT_TYPES = {"jpg": "image/jpeg", "pdf": "application/pdf"}


@dataclass(frozen=True, slots=True)
class Upload:
    """A file fit to be kept."""

    content: bytes
    suffix: str  # 'jpg' or 'pdf'
    camera_time: str = ""

    @property
    def sha256(self) -> str:
        """Of what is kept."""
        return hashlib.sha256(self.content).hexdigest()


def check_upload(data: bytes, kind: EvidenceKind) -> Upload:
    """The file as it will be kept. Raises :class:`UploadRefused` with one sentence."""
    if not data:
        raise UploadRefused("The file is empty; take the photo again.")
    if len(data) > settings.PHOTO_MAX_BYTES:
        most = settings.PHOTO_MAX_BYTES // 1024 // 1024
        size = f"{len(data) / 1024 / 1024:.1f} MB"
        raise UploadRefused(f"The file is {size}; at most {most} MB is kept. Send a smaller picture.")
    if data.startswith(b"%PDF-"):
        if kind is not EvidenceKind.TICKET:
            raise UploadRefused("This is a PDF; a photo is asked for: JPEG, PNG or WebP.")
        return _check_pdf(data)
    return _check_photo(data, kind)


def open_evidence(person: Person, pk: int) -> tuple[File[bytes], str]:
    """The kept file and its content type, for somebody who belongs to the house; 404 for everybody else."""
    item = EvidenceItem.objects.filter(pk=pk).exclude(file="").first()
    if item is None:
        raise Http404("No such file.")
    access.get_house(person, item.house_id)
    content_type = CONTENT_TYPES.get(item.file.name.rsplit(".", 1)[-1], "application/octet-stream")
    return item.file.storage.open(item.file.name, "rb"), content_type


# -- photos ------------------------------------------------------------------------------------------
def _check_photo(data: bytes, kind: EvidenceKind) -> Upload:
    accepted = "JPEG, PNG, WebP or PDF" if kind is EvidenceKind.TICKET else "JPEG, PNG or WebP"
    try:
        with Image.open(io.BytesIO(data), formats=PHOTO_FORMATS) as image:
            if image.width * image.height > MOST_PIXELS:
                raise UploadRefused(_too_large(f"{image.width} x {image.height}"))
            time = _camera_time(image)
            return Upload(_as_jpeg(image, time), "jpg", time)
    except (Image.DecompressionBombError, Image.DecompressionBombWarning):
        raise UploadRefused(_too_large("far too many")) from None
    except UnidentifiedImageError:
        raise UploadRefused(f"The file is not a picture that can be read; send {accepted}.") from None
    except (OSError, SyntaxError, ValueError, EOFError):
        raise UploadRefused("The picture is damaged or cut short; take or send it again.") from None


def _too_large(pixels: str) -> str:
    return f"The picture has {pixels} pixels; at most {MOST_PIXELS // 1_000_000} million are kept."


def _as_jpeg(image: Image.Image, camera_time: str) -> bytes:
    """The picture upright, on white where it was clear, with no metadata but the camera's time."""
    image.draft("RGB", (LONGEST_SIDE, LONGEST_SIDE))
    plain = ImageOps.exif_transpose(image)
    if plain.mode in ("RGBA", "LA", "P", "PA"):
        clear = plain.convert("RGBA")
        plain = Image.new("RGB", clear.size, "white")
        plain.paste(clear, mask=clear.getchannel("A"))
    plain = plain.convert("RGB")
    plain.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
    pixels = Image.new("RGB", plain.size)
    pixels.paste(plain)
    out, exif = io.BytesIO(), Image.Exif()
    if camera_time:
        exif.get_ifd(ExifTags.IFD.Exif)[ExifTags.Base.DateTimeOriginal] = camera_time
    pixels.save(out, "JPEG", quality=QUALITY, exif=exif)
    return out.getvalue()


def _camera_time(image: Image.Image) -> str:
    """When the shutter went, by the camera's clock, or ''."""
    try:
        exif = image.getexif()
        time = exif.get_ifd(ExifTags.IFD.Exif).get(ExifTags.Base.DateTimeOriginal) or exif.get(ExifTags.Base.DateTime)
    except (OSError, SyntaxError, ValueError, KeyError, TypeError):
        return ""
    return time if isinstance(time, str) and _CAMERA_TIME.fullmatch(time) else ""


# -- tickets as PDF ----------------------------------------------------------------------------------
def _check_pdf(data: bytes) -> Upload:
    try:
        with pikepdf.open(io.BytesIO(data)) as pdf:
            if not 1 <= len(pdf.pages) <= MOST_PDF_PAGES:
                raise UploadRefused(f"The PDF has {len(pdf.pages)} pages; a ticket has 1 to {MOST_PDF_PAGES}.")
            found = sorted({name for thing in pdf.objects for name in _active_names(thing)})
            if found:
                raise UploadRefused("The PDF holds a script, an action or another file; send a photo of the ticket.")
            out = io.BytesIO()
            pdf.save(out, deterministic_id=True)
            return Upload(out.getvalue(), "pdf")
    except pikepdf.PasswordError:
        raise UploadRefused("The PDF is locked with a password; send it unlocked, or a photo of it.") from None
    except (pikepdf.PdfError, ValueError, RecursionError):
        raise UploadRefused("The PDF is damaged; send it again, or a photo of the ticket.") from None


def _active_names(thing: pikepdf.Object, depth: int = 0) -> Iterator[str]:
    """Names of :data:`ACTIVE` among an object's own keys and values; other objects are looked at by the caller."""
    if depth > 50:
        raise RecursionError("nested too deep")
    if isinstance(thing, (pikepdf.Dictionary, pikepdf.Stream)):
        for key in thing.keys():  # noqa: SIM118 - a stream is not iterable
            if key in ACTIVE:
                yield key
            value = thing.get(key)
            if isinstance(value, pikepdf.Name) and str(value) in ACTIVE:
                yield str(value)
            elif isinstance(value, pikepdf.Object) and not value.is_indirect:
                yield from _active_names(value, depth + 1)
    elif isinstance(thing, pikepdf.Array):
        for value in thing:
            if isinstance(value, pikepdf.Object) and not value.is_indirect:
                yield from _active_names(value, depth + 1)
