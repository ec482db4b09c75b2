"""The phone app's files: which ones are served, and under names that change with their content."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from django.contrib.staticfiles.finders import FileSystemFinder
from django.contrib.staticfiles.storage import ManifestStaticFilesStorage, staticfiles_storage
from whitenoise.storage import CompressedManifestStaticFilesStorage

# Served at addresses of their own, or only needed to check the code.
NOT_STATIC = [
    "index.html",
    "reset.html",
    "sw.js",
    "manifest.webmanifest",
    "node_modules",
    "package.json",
    "package-lock.json",
    "tsconfig*.json",
    "*.d.ts",
    "*.py",
    "*.mjs",
    "*.sh",
    "checksums.*",
    ".*",
]


class PhoneFiles(FileSystemFinder):
    """The files below frontend/ that phones fetch."""

    def list(self, ignore_patterns: Iterable[str] | None) -> Iterator[tuple[str, Any]]:
        """Leave out what is no part of the app."""
        return iter(super().list([*(ignore_patterns or []), *NOT_STATIC]))


class HashedModules(CompressedManifestStaticFilesStorage):
    """Hashed, compressed names; imports between modules are rewritten to them."""

    support_js_module_import_aggregation = True
    max_post_process_passes = 30  # one for each level of imports; Django's five are too few


def precache() -> tuple[list[str], str]:
    """Addresses a phone must hold to open with no signal, and a version that changes with them.

    Without collected files (tests) the list is empty.
    """
    if not isinstance(staticfiles_storage, ManifestStaticFilesStorage):
        return [], "uncollected"
    names = sorted(name for name in staticfiles_storage.hashed_files if _needed(name))
    urls = [staticfiles_storage.url(name) for name in names]
    return urls, str(staticfiles_storage.manifest_hash)


def _needed(name: str) -> bool:
    return name.endswith((".js", ".css", ".json", ".svg", ".png", ".woff2"))
