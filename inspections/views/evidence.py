"""Photos and tickets, for those who belong to the house."""

from __future__ import annotations

import io

from django.http import HttpResponse
from django.views.decorators.cache import cache_control
from django.views.decorators.http import require_safe
from PIL import Image

from inspections.evidence import open_evidence
from jobs.access import PersonRequest

#: Longest side of a picture in a list [px].
SMALL = 480


@require_safe
@cache_control(private=True, max_age=86_400, immutable=True)
def evidence(request: PersonRequest, pk: int) -> HttpResponse:
    """A kept file, never as something that acts: its type as checked, in a sandbox. ``?size=small`` for lists."""
    file, content_type = open_evidence(request.user, pk)
    with file:
        data = file.read()
    ending = "pdf" if content_type == "application/pdf" else "jpg"
    if request.GET.get("size") == "small" and ending == "jpg":
        data = _small(data)
    response = HttpResponse(data, content_type=content_type)
    response["Content-Disposition"] = f'inline; filename="evidence-{pk}.{ending}"'
    response["X-Content-Type-Options"] = "nosniff"
    response["Content-Security-Policy"] = "sandbox; default-src 'none'"
    return response


def _small(data: bytes) -> bytes:
    """The picture as kept, small."""
    with Image.open(io.BytesIO(data), formats=["JPEG"]) as image:
        image.draft("RGB", (SMALL, SMALL))
        image.thumbnail((SMALL, SMALL))
        out = io.BytesIO()
        image.convert("RGB").save(out, "JPEG", quality=75)
        return out.getvalue()
