"""What a phone must load before its first weight is saved: `python -m tests.bench.first_visit`.

Someone who has a dog here signs in on a new phone and saves a weight. Every file of the app that
the page asked for on the way is fetched again as a browser gets it, compressed, and counted by
file: the page, its modules, styles and manifest. Not counted: answers of the API, pictures, the
breed table, and the service worker with what it keeps in the background for later.
"""

from __future__ import annotations

import gzip
import sys
import tempfile
import urllib.request
from pathlib import Path
from urllib.parse import urlsplit

from playwright.sync_api import Browser, Page, Request, expect, sync_playwright

from tests.cli.running import up
from tests.journeys.phone import FLAGS, UPRIGHT
from tests.journeys.test_main_job import add_dog, sign_up, weigh
from tests.needs import chromium

BUDGET_BYTES = 45 * 1024  # the design's budget; 25 KB is the aim
APART = ("/api/", "/static/icons/", "/static/plain/breeds.")
LIBRARIES = "/static/vendor/"


def sign_in(page: Page) -> None:
    """As the person who signed up on another phone before."""
    page.get_by_role("link", name="I have an account").click()
    page.get_by_label("E-mail").fill("mara@example.org")
    page.get_by_label("Password").fill("seven grey stones")
    page.get_by_role("button", name="Sign in").click()


def asked_for(browser: Browser, address: str) -> list[str]:
    """Paths that the page itself asked for, from opening it to a saved weight."""
    context = browser.new_context(service_workers="block", **UPRIGHT)
    page = context.new_page()
    asked: dict[str, None] = {"/manifest.webmanifest": None}  # asked for behind the page's back

    def note(request: Request) -> None:
        asked[urlsplit(request.url).path] = None

    page.on("request", note)
    page.goto(address)
    sign_in(page)
    expect(page.get_by_text("Juniper").first).to_be_visible(timeout=30_000)
    weigh(page, "15.2")
    context.close()
    return [path for path in asked if not path.startswith(APART)]


def weight(address: str, path: str) -> int:
    """Bytes of a file's content as it is sent to a browser."""
    request = urllib.request.Request(address + path, headers={"Accept-Encoding": "gzip"})
    with urllib.request.urlopen(request) as answer:
        content: bytes = answer.read()
        if answer.headers.get("Content-Encoding") == "gzip":
            gzip.decompress(content)  # a broken file must not count as a small one
    return len(content)


def main() -> None:
    """Measure; print one line, with --files also one for each file."""
    with (
        tempfile.TemporaryDirectory() as scratch,
        sync_playwright() as playwright,
        up(Path(scratch) / "server") as running,
    ):
        address = f"http://localhost:{running.port}"
        browser = playwright.chromium.launch(executable_path=chromium(), args=FLAGS)
        page = browser.new_context(**UPRIGHT).new_page()
        page.goto(address)
        sign_up(page)
        add_dog(page)
        expect(page.get_by_text("all sent")).to_be_visible(timeout=30_000)
        weights = {path: weight(address, path) for path in asked_for(browser, address)}
        browser.close()
    if "--files" in sys.argv:
        for path, size in weights.items():
            print(f"{size:7,} {path}")
    whole = sum(weights.values())
    libraries = sum(size for path, size in weights.items() if path.startswith(LIBRARIES))
    print(
        f"first visit, sign-in to a saved weight: {whole:,} bytes in {len(weights)} files, "
        f"{whole / BUDGET_BYTES:.2f} of the budget of {BUDGET_BYTES:,}; "
        f"{whole / libraries:.1f} x the libraries in it ({libraries:,})"
    )


if __name__ == "__main__":
    main()
