"""Is the server alive, and can it serve: asked by `tuckline up` and by load balancers."""

from __future__ import annotations

from datetime import timedelta

from django.db import DatabaseError
from django.http import HttpRequest, JsonResponse
from django.utils import timezone
from django.views.decorators.http import require_safe

from server.ledger.models import Heartbeat

FRESH = timedelta(seconds=30)  # a worker beats every ten


@require_safe
def alive(request: HttpRequest) -> JsonResponse:
    """200 while the process answers."""
    return JsonResponse({"alive": True})


@require_safe
def ready(request: HttpRequest) -> JsonResponse:
    """200 when the database answers and a worker has beaten lately, else 503 with the reason."""
    try:
        beating = Heartbeat.objects.filter(beat_at__gt=timezone.now() - FRESH).exists()
    except DatabaseError:
        return JsonResponse({"ready": False, "missing": "database"}, status=503)
    if not beating:
        return JsonResponse({"ready": False, "missing": "worker"}, status=503)
    return JsonResponse({"ready": True})
