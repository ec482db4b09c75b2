"""Push, pull and snapshot: the three addresses that a phone syncs with."""

from __future__ import annotations

import re
import uuid
from collections.abc import Callable
from functools import wraps
from typing import Annotated, Any

from django.core.exceptions import RequestDataTooBig
from django.db import InterfaceError, OperationalError
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.utils import timezone
from ninja import Query, Router

from server.api.session import DEVICE_COOKIE
from server.errors import Rejected
from server.households.models import Person
from server.ledger import changes
from server.sync import apply, body, feed, phones

HIGHEST = 2**63 - 1  # of change numbers
RETRY_AFTER_S = 5

Cursor = Annotated[int, Query(ge=0, le=HIGHEST)]
PHONE = r"[0-9A-Za-z_-]{0,64}"
Phone = Annotated[str, Query(pattern=f"^{PHONE}$")]

router = Router()


def _marked(view: Callable[..., HttpResponse]) -> Callable[..., HttpResponse]:
    """Mark every answer as ours: a phone trusts no other, such as a captive portal's."""

    @wraps(view)
    def answer(*args: Any, **kwargs: Any) -> HttpResponse:
        response = view(*args, **kwargs)
        response.headers["X-Sync"] = "1"
        return response

    return answer


router.add_decorator(_marked, mode="view")


def _no(status: int, code: str, text: str, **more: Any) -> JsonResponse:
    return JsonResponse({"code": code, "text": text, **more}, status=status)


@router.post("/push")
def push(request: HttpRequest) -> HttpResponse:
    """Apply a phone's operations in order: one result each; a rejected one spoils no other."""
    person, now = _person(request), timezone.now()
    if request.content_type != "application/json":
        return _no(415, "bad_request", "A push is JSON.")
    try:
        sent = body.read_push(request.body)
    except (body.TooLarge, RequestDataTooBig):
        limits = f"{body.MOST_OPS} entries and {body.MOST_BYTES // 1024} KiB"
        return _no(413, "too_large", f"A push holds at most {limits}.")
    except body.NotJson:
        return _no(400, "bad_request", "The push is not JSON.")
    except Rejected as error:
        return _no(400, "bad_request", error.text, field=error.field)
    if sent.protocol < body.PROTOCOL:
        return _no(426, "app_too_old", "This version of the app is too old. Update it first.")
    epoch = changes.epoch()
    if sent.epoch != epoch:
        return _epoch_changed(epoch)
    try:
        results = apply.push(ops=sent.ops, person=person, now=now)
        left = max(0, sent.pending - len(results))
        phones.heard_from(person, sent.device_id, pending=left, now=now)
    except (OperationalError, InterfaceError):
        busy = _no(503, "busy", "The server is busy. Your entries are kept and sent again.")
        busy.headers["Retry-After"] = str(RETRY_AFTER_S)
        return busy
    return JsonResponse({**_head(person, epoch), "results": results})


@router.get("/pull")
def pull(
    request: HttpRequest,
    cursor: Cursor = 0,
    limit: Annotated[int, Query(ge=1, le=feed.MOST_ROWS)] = feed.MOST_ROWS,
    device_id: Phone = "",
    pending: Annotated[int | None, Query(ge=0, le=body.MOST_PENDING)] = None,
) -> HttpResponse:
    """What changed since the cursor for this person, in the order of change numbers."""
    person, now = _person(request), timezone.now()
    device_id = device_id or _phone_by_cookie(request)
    counter = changes.feed()
    if cursor > counter.last_seq:
        # The phone has seen changes that this database does not know: it was put back.
        return _epoch_changed(counter.epoch)
    page = feed.pull(person, cursor=cursor, limit=limit)
    lost = None
    if device_id and cursor == 0 and not pending:
        lost = phones.lost_on(person, device_id)
    elif device_id and pending is not None:
        phones.heard_from(person, device_id, pending=pending, now=now)
    told = {"lost": lost.entries, "lost_at": lost.last_seen.isoformat()} if lost else {}
    head = {**_head(person, counter.epoch), "cursor": str(page.cursor), "more": page.more, **told}
    return _with_changes(head, page)


@router.get("/snapshot")
def snapshot(
    request: HttpRequest,
    dog: uuid.UUID | None = None,
    household: uuid.UUID | None = None,
    page: Cursor = 0,
) -> HttpResponse:
    """Everything about one dog, one household, or all that the person sees, page by page.

    The first page is 0; each answer names the next one, for numbering them would skip a row that
    changes meanwhile. `cursor` is where a pull goes on after a snapshot of everything.
    """
    person = _person(request)
    counter = changes.feed()  # read before the rows: what changes meanwhile is pulled afterwards
    if dog and household:
        return _no(400, "bad_request", "Ask for a dog or a household, not both.", field="dog")
    if dog:
        found = feed.snapshot_of_dog(person, dog, page=page)
    elif household:
        found = feed.snapshot_of_household(person, household, page=page)
    else:
        found = feed.snapshot(person, page=page)
    head = {
        **_head(person, counter.epoch),
        "cursor": str(counter.last_seq),
        "page": str(found.cursor) if found.more else None,
        "more": found.more,
    }
    return _with_changes(head, found)


def _person(request: HttpRequest) -> Person:
    person = request.user
    assert isinstance(person, Person)  # the router's auth saw to it
    return person


def _phone_by_cookie(request: HttpRequest) -> str:
    named = request.COOKIES.get(DEVICE_COOKIE, "")
    return named if re.fullmatch(PHONE, named, re.ASCII) else ""


def _head(person: Person, epoch: uuid.UUID) -> dict[str, Any]:
    # The account lets a phone notice that another tab has signed in as somebody else.
    return {
        "account": str(person.pk),
        "epoch": str(epoch),
        "server_time": timezone.now().isoformat(),
    }


def _epoch_changed(epoch: uuid.UUID) -> JsonResponse:
    text = "The server was put back from a backup. This phone sends its last entries again."
    return _no(409, "epoch", text, epoch=str(epoch))


def _with_changes(head: dict[str, Any], page: feed.Page) -> HttpResponse:
    return HttpResponse(feed.as_json(head, page), content_type="application/json")
