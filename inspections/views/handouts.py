"""The hand-out of a stage as a PDF: all three parts, or one of them, for all legs or some."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.text import slugify
from django.utils.timezone import now
from django.views.decorators.http import require_GET

from inspections.exceptions import NotOnThisStage
from inspections.handouts.document import PARTS, pdf
from inspections.handouts.subject import Subject, subject_of
from jobs import plans
from jobs.access import PersonRequest, get_house
from jobs.exceptions import PdfUnavailable
from jobs.models import House, HouseStage


@require_GET
def handout(request: PersonRequest, pk: int, stage_pk: int) -> HttpResponse:
    """``?part=crew|order|request`` prints one part; ``?section=`` and ``?legs=A,B``, each once or more, some legs."""
    house = get_house(request.user, pk)
    stage = get_object_or_404(HouseStage, pk=stage_pk, house=house)
    part = request.GET.get("part", "")
    if part and part not in PARTS:
        return _told(request, house, stage, f"There is no part “{part}”; a hand-out has {', '.join(PARTS)}.", 404)
    revision = plans.latest(house)
    if revision is None:
        return _told(request, house, stage, "No plan revision is locked yet, so there is nothing to print.", 409)
    try:
        subject = subject_of(
            house, stage, revision, now(), sections=_names(request, "section"), legs=_names(request, "legs")
        )
        made = pdf(subject, request.build_absolute_uri(reverse("inspections:stage", args=[house.pk, stage.pk])), part)
    except NotOnThisStage as refused:
        return _told(request, house, stage, str(refused), 404)
    except PdfUnavailable as missing:
        return _told(request, house, stage, str(missing), 503)
    response = HttpResponse(made, content_type="application/pdf")
    response["Content-Disposition"] = f'inline; filename="{filename(subject, part)}"'
    response["Cache-Control"] = "private, no-cache"
    return response


def filename(subject: Subject, part: str) -> str:
    """'lot-14-full-height-wall-rev-b-crew.pdf'."""
    words = f"{subject.house.name} {subject.stage.title} rev {subject.revision.letter} {part}"
    return f"{slugify(words) or 'hand-out'}.pdf"


def _names(request: HttpRequest, key: str) -> list[str]:
    """Names given once with commas or several times."""
    return [name.strip() for value in request.GET.getlist(key) for name in value.split(",") if name.strip()]


def _told(request: HttpRequest, house: House, stage: HouseStage, sentence: str, status: int) -> HttpResponse:
    """A page that says why there is no hand-out."""
    return render(request, "handouts/told.html", {"house": house, "stage": stage, "sentence": sentence}, status=status)
