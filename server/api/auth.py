"""Who is asking: a session cookie, and a CSRF token on everything that writes."""

from __future__ import annotations

from django.http import HttpRequest, HttpResponse
from django.middleware.csrf import CsrfViewMiddleware

from server.households.models import Person

READS = frozenset({"GET", "HEAD", "OPTIONS"})


class SignedOut(Exception):
    """Nobody is signed in, or the session is over."""


class CsrfFailed(Exception):
    """A write without the token that /api/v1/session hands out."""


class _Check(CsrfViewMiddleware):
    def _reject(self, request: HttpRequest, reason: str) -> HttpResponse:
        return HttpResponse(reason, status=403)


def _answer(request: HttpRequest) -> HttpResponse:
    return HttpResponse()


_check = _Check(_answer)


def require_token(request: HttpRequest) -> None:
    """Raise CsrfFailed unless a writing request carries the session's CSRF token."""
    _check.process_request(request)
    if _check.process_view(request, _answer, (), {}):
        raise CsrfFailed


def signed_in(request: HttpRequest) -> Person:
    """The person asking. Raises SignedOut or CsrfFailed; endpoints use it as ninja's auth."""
    if not request.user.is_authenticated:
        raise SignedOut
    if request.method not in READS:
        require_token(request)
    return request.user
