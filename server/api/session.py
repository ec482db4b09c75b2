"""Who is signed in on this phone, asked at each start and never cached."""

from __future__ import annotations

import re
import secrets
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.middleware.csrf import get_token
from django.utils import timezone
from ninja import Router

from server.households.models import Person
from server.households.queries import memberships_of
from server.ledger import changes

PROTOCOL = 1
DEVICE_COOKIE = "tuckline_device"
DEVICE_AGE = 60 * 60 * 24 * 400  # browsers keep no cookie longer
_DEVICE = re.compile(r"[0-9a-f]{32}")

router = Router()


@router.get("/session")
def session(request: HttpRequest, response: HttpResponse) -> dict[str, Any]:
    """The person, the CSRF token, this phone's name for itself, and the households."""
    device_id = request.COOKIES.get(DEVICE_COOKIE, "")
    if not _DEVICE.fullmatch(device_id):
        device_id = secrets.token_hex(16)
        response.set_cookie(
            DEVICE_COOKIE,
            device_id,
            max_age=DEVICE_AGE,
            httponly=True,
            secure=request.is_secure(),
            samesite="Lax",
        )
    person = request.user if isinstance(request.user, Person) else None
    return {
        "user": person and {"id": str(person.pk), "name": person.name, "email": person.email},
        "csrf": get_token(request),
        "device_id": device_id,
        "epoch": str(changes.epoch()),
        "protocol": PROTOCOL,
        "server_time": timezone.now().isoformat(),
        "households": [
            {
                "id": str(m.household_id),
                "name": m.household.name,
                "kind": m.household.kind,
                "role": m.role,
            }
            for m in (memberships_of(person) if person else [])
        ],
    }
