"""The door the server comes in by."""

from __future__ import annotations

import os

from django.core.wsgi import get_wsgi_application
from django.urls import get_resolver

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "coldmark.project.settings")
application = get_wsgi_application()
# Every page's module is read now and not at the first request, which would wait for it.
get_resolver().url_patterns  # noqa: B018
