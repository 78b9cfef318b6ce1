"""Photos and tickets, for those who belong to the house."""

from __future__ import annotations

from django.http import FileResponse
from django.views.decorators.cache import cache_control
from django.views.decorators.http import require_safe

from inspections.evidence import open_evidence
from jobs.access import PersonRequest


@require_safe
@cache_control(private=True, max_age=86_400, immutable=True)
def evidence(request: PersonRequest, pk: int) -> FileResponse:
    """A kept file, never as something that acts: its type as checked, in a sandbox."""
    file, content_type = open_evidence(request.user, pk)
    ending = "pdf" if content_type == "application/pdf" else "jpg"
    response = FileResponse(file, content_type=content_type, filename=f"evidence-{pk}.{ending}")
    response["X-Content-Type-Options"] = "nosniff"
    response["Content-Security-Policy"] = "sandbox; default-src 'none'"
    return response
