"""A phone: Chromium with a folder of its own that survives being killed."""

from __future__ import annotations

import os
import signal
import sqlite3
import time
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from playwright.sync_api import BrowserContext, ConsoleMessage, Error, Page, Playwright, Request

FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
UPRIGHT: dict[str, Any] = {
    "viewport": {"width": 390, "height": 844},
    "has_touch": True,
    "timezone_id": "Europe/Berlin",
    "locale": "en-GB",
}


@dataclass
class Phone:
    """Opens the app, loses signal, gets killed; keeps what it complained about."""

    playwright: Playwright
    browser: str
    folder: Path
    address: str
    looks: dict[str, Any] = field(default_factory=dict)
    complaints: list[str] = field(default_factory=list)
    strangers: list[str] = field(default_factory=list)
    _context: BrowserContext | None = None

    def open(self, *, signal: bool = True, path: str = "/") -> Page:
        """Start the browser, with or without signal, at a path of the app."""
        self._context = self.playwright.chromium.launch_persistent_context(
            str(self.folder), executable_path=self.browser, args=FLAGS, **(UPRIGHT | self.looks)
        )
        self._context.set_offline(not signal)
        self._context.on("request", self._note_request)
        page = self._context.pages[0]
        page.on("console", self._note_console)
        page.on("pageerror", lambda error: self.complaints.append(f"error: {error}"))
        page.goto(self.address + path, wait_until="commit")
        return page

    def signal(self, there: bool) -> None:
        """Gain or lose the network."""
        assert self._context
        self._context.set_offline(not there)

    def tidy(self) -> None:
        """Empty the browser's own file cache, as a phone short of space does at any time."""
        assert self._context
        session = self._context.new_cdp_session(self._context.pages[0])
        session.send("Network.clearBrowserCache")
        session.detach()

    def kill(self) -> None:
        """End the browser as a phone ends an app: at once, with no good-bye."""
        assert self._context
        for pid in self._processes():
            with suppress(ProcessLookupError):
                os.kill(pid, signal.SIGKILL)
        with suppress(Error):
            self._context.close()
        deadline = time.monotonic() + 10
        while self._processes() and time.monotonic() < deadline:
            time.sleep(0.05)
        assert not self._processes(), "the browser survived being killed"
        self._context = None

    def close(self) -> None:
        """Close as a person would."""
        if self._context:
            with suppress(Error):
                self._context.close()

    def remembers(self, cookie: str) -> bool:
        """Whether the browser has written a cookie to its own disk; it does so every 30 s."""
        store = self.folder / "Default" / "Cookies"
        with suppress(sqlite3.Error), sqlite3.connect(f"file:{store}?mode=ro", uri=True) as cookies:
            rows = cookies.execute("select 1 from cookies where name = ?", (cookie,)).fetchall()
            return bool(rows)
        return False

    def _processes(self) -> list[int]:
        mark = f"--user-data-dir={self.folder}".encode()
        found = []
        for entry in Path("/proc").iterdir():
            with suppress(OSError):
                if entry.name.isdigit() and mark in (entry / "cmdline").read_bytes():
                    found.append(int(entry.name))
        return found

    def _note_console(self, message: ConsoleMessage) -> None:
        # A page without signal reports its failed requests as errors; those are expected.
        if message.type in ("error", "warning") and "net::ERR" not in message.text:
            self.complaints.append(f"{message.type}: {message.text}")

    def _note_request(self, request: Request) -> None:
        if not request.url.startswith((self.address, "blob:", "data:")):
            self.strangers.append(request.url)
