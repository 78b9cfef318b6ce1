"""Is this server able to answer? Asked by proxies and by whoever watches it."""

from django.contrib.auth.decorators import login_not_required
from django.db import Error, connection
from django.http import HttpRequest, HttpResponse
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_safe


@require_safe
@never_cache
@login_not_required
def health(request: HttpRequest) -> HttpResponse:
    """200 and "ok" when the database answers, 503 and a sentence when it does not."""
    try:
        with connection.cursor() as cursor:
            cursor.execute("SELECT 1")
    except Error:
        return HttpResponse("The database does not answer.\n", status=503, content_type="text/plain")
    return HttpResponse("ok\n", content_type="text/plain")
