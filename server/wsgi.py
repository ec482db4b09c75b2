"""The WSGI application that gunicorn serves."""

from __future__ import annotations

import os

from django.conf import settings
from django.core.exceptions import ImproperlyConfigured
from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "server.settings")
if settings.SECRET_KEY_IS_THROWAWAY:
    raise ImproperlyConfigured(
        "There is no secret key: set TUCKLINE_SECRET_KEY_FILE, or start with `tuckline up`, "
        "which writes one into its data folder."
    )
application = get_wsgi_application()
