"""The phone app's files: which ones are served, and under names that change with their content."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from django.contrib.staticfiles.finders import FileSystemFinder
from django.contrib.staticfiles.storage import ManifestStaticFilesStorage, staticfiles_storage
from django.core.files.base import ContentFile
from django.core.files.storage import Storage
from whitenoise.storage import CompressedManifestStaticFilesStorage

from server.api.lean import lean_css, lean_js

VENDOR = "vendor/"

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


class Texts:
    """A storage to read from whose files are texts at hand."""

    def __init__(self, texts: dict[str, str]) -> None:
        self.texts = texts

    def open(self, name: str) -> ContentFile[bytes]:
        """The file of that name."""
        return ContentFile(self.texts[name].encode("utf-8"))


def lean_files(paths: dict[str, Any]) -> dict[str, Any]:
    """Our own modules and styles as phones get them; files of others stay as they are.

    paths: (storage, path) by name, as collectstatic gives them. Modules stay modules, nothing is
    bundled: what is served can be read beside its source.
    """
    ours = {name: place for name, place in paths.items() if not name.startswith(VENDOR)}
    modules = {name: lean_js(_read(place)) for name, place in ours.items() if name.endswith(".js")}
    styles = {name: lean_css(_read(place)) for name, place in ours.items() if name.endswith(".css")}
    texts = Texts(modules | styles)
    return {**paths, **{name: (texts, name) for name in texts.texts}}


def _read(place: tuple[Storage, str]) -> str:
    storage, path = place
    with storage.open(path) as file:
        return str(file.read().decode("utf-8"))


class HashedModules(CompressedManifestStaticFilesStorage):
    """Lean content, hashed and compressed names; imports between modules are rewritten to them."""

    support_js_module_import_aggregation = True
    max_post_process_passes = 30  # one for each level of imports; Django's five are too few

    def post_process(
        self, paths: dict[str, Any], dry_run: bool = False, **options: Any
    ) -> Iterator[Any]:
        """Hash and compress what phones get."""
        yield from super().post_process(lean_files(paths), dry_run, **options)


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
