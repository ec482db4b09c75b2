"""The API of the phone app: one table from our errors to words, one router per noun."""

from __future__ import annotations

import logging
from typing import Any

from django.http import HttpRequest, HttpResponse, JsonResponse
from ninja import NinjaAPI
from ninja.errors import ValidationError

from server.api.auth import CsrfFailed, SignedOut, signed_in
from server.api.session import router as session_router
from server.api.sync import router as sync_router
from server.errors import NotAllowed, NotFound, Rejected

log = logging.getLogger(__name__)

api = NinjaAPI(
    title="Tuckline", version="1", docs_url=None, openapi_url=None, urls_namespace="phone"
)
api.add_router("", session_router)
api.add_router("/sync", sync_router, auth=signed_in)


def in_words(
    status: int, code: str, text: str, *, field: str | None = None, **more: Any
) -> JsonResponse:
    """An error as every endpoint says it: a code for the phone, a sentence for a person."""
    answer = {"code": code, "text": text, **({"field": field} if field else {}), **more}
    return JsonResponse(answer, status=status)


@api.exception_handler(SignedOut)
def _signed_out(request: HttpRequest, error: SignedOut) -> HttpResponse:
    return in_words(401, "signed_out", "Please sign in again. Nothing on this phone is lost.")


@api.exception_handler(CsrfFailed)
def _csrf(request: HttpRequest, error: CsrfFailed) -> HttpResponse:
    return csrf_failed(request)


@api.exception_handler(NotFound)
def _not_found(request: HttpRequest, error: NotFound) -> HttpResponse:
    return not_found(request)


@api.exception_handler(NotAllowed)
def _not_allowed(request: HttpRequest, error: NotAllowed) -> HttpResponse:
    return in_words(403, "not_allowed", str(error))


@api.exception_handler(Rejected)
def _rejected(request: HttpRequest, error: Rejected) -> HttpResponse:
    return in_words(400, error.code, error.text, field=error.field)


@api.exception_handler(ValidationError)
def _invalid(request: HttpRequest, error: ValidationError) -> HttpResponse:
    first = error.errors[0] if error.errors else {}
    field = ".".join(str(part) for part in first.get("loc", ())[1:]) or "body"
    text = f"{field}: {first.get('msg', 'not understood')}"
    return in_words(422, "bad_request", text, field=field)


def csrf_failed(request: HttpRequest, reason: str = "") -> HttpResponse:
    """A write without a valid token: the phone fetches its session again and retries once."""
    return in_words(403, "csrf", "Please try again: this page was open for a long time.")


def not_found(request: HttpRequest, exception: Exception | None = None) -> HttpResponse:
    """The same answer for what is not there and for what is not yours."""
    return in_words(404, "not_found", "There is nothing here that you can see.")


def broken(request: HttpRequest) -> HttpResponse:
    """Something failed on our side; phones keep everything and try again."""
    return in_words(500, "server_error", "Something failed on our side. It will be tried again.")
