"""Take the README's pictures of the demo: `python -m tests.journeys.take_pictures`.

Needs Chromium. Starts the demo, walks through it and writes fixtures/screenshots/*.png anew.
"""

from __future__ import annotations

import io
import re
import tempfile
from collections.abc import Callable
from pathlib import Path
from typing import Any

from PIL import Image
from playwright.sync_api import Page, Playwright, expect, sync_playwright

from tests.journeys.phone import FLAGS, UPRIGHT
from tests.journeys.running import Running, started
from tests.needs import chromium

FOLDER = Path(__file__).parents[2] / "fixtures" / "screenshots"
MOST_BYTES = 80_000
PALETTES = (128, 64, 32)  # colours; the drawings are flat, so few are enough
PULL_MS = 30_000
DESK: dict[str, Any] = {"viewport": {"width": 1280, "height": 800}, "has_touch": False}


def keep(page: Page, name: str) -> None:
    """Write what the window shows, with as many colours as fit the size."""
    page.evaluate("() => document.activeElement?.blur()")
    page.mouse.move(0, 0)
    shown = Image.open(io.BytesIO(page.screenshot(animations="disabled"))).convert("RGB")
    for colours in PALETTES:
        packed = io.BytesIO()
        flat = shown.quantize(colours, Image.Quantize.MEDIANCUT, dither=Image.Dither.NONE)
        flat.save(packed, "PNG", optimize=True)
        if packed.tell() < MOST_BYTES:
            (FOLDER / f"{name}.png").write_bytes(packed.getvalue())
            print(f"{name}.png {packed.tell() / 1000:.0f} kB")
            return
    raise SystemExit(f"{name}.png stays above {MOST_BYTES} bytes")


def sign_in(page: Page, running: Running, who: str) -> None:
    page.goto(f"{running.address}/#/signin")
    page.get_by_label("E-mail").fill(f"{who}@demo.tuckline.example")
    page.get_by_label("Password").fill(running.demo_password())
    page.get_by_role("button", name="Sign in").click()
    expect(page.get_by_role("link", name=re.compile("^Rook"))).to_be_visible(timeout=PULL_MS)
    expect(page.get_by_text("all sent")).to_be_visible(timeout=PULL_MS)


def open_today(page: Page, running: Running) -> None:
    page.goto(running.address + "/#/")
    expect(page.locator("a.row.dog").first).to_be_visible()


def dog_path(page: Page, running: Running, name: str) -> str:
    open_today(page, running)
    row = page.get_by_role("link", name=re.compile(f"^{name} ")).first
    return str(row.get_attribute("href"))


def of_a_home(page: Page, running: Running) -> None:
    """What Mara sees on her phone."""
    sign_in(page, running, "mara")
    juniper, otto = (dog_path(page, running, name) for name in ("Juniper", "Otto"))
    open_today(page, running)
    keep(page, "today")

    page.goto(f"{running.address}/#/weigh?dog={juniper.rpartition('/')[2]}")
    for key in ("1", "3", "point", "9"):
        page.get_by_role("button", name=key, exact=True).click()
    keep(page, "weigh")

    page.goto(f"{running.address}/{otto}/check")
    page.get_by_role("radio").nth(3).check()
    keep(page, "check_ribs")

    page.goto(f"{running.address}/{juniper}")
    expect(page.get_by_role("img", name=re.compile("^Weight of Juniper"))).to_be_visible()
    keep(page, "dog")

    page.emulate_media(color_scheme="dark")
    open_today(page, running)
    keep(page, "today_dark")


def of_a_plan(page: Page, running: Running) -> None:
    """What the coordinator is asked on her phone."""
    sign_in(page, running, "ira")
    page.goto(f"{running.address}/{dog_path(page, running, 'Rook')}/plan")
    expect(page.get_by_role("button", name="Accept plan")).to_be_visible()
    keep(page, "plan")


def of_a_rescue(page: Page, running: Running) -> None:
    """What the coordinator sees on her laptop."""
    sign_in(page, running, "ira")
    open_today(page, running)
    keep(page, "rounds")


def take(
    playwright: Playwright,
    running: Running,
    walk: Callable[[Page, Running], None],
    looks: dict[str, Any],
) -> None:
    with tempfile.TemporaryDirectory() as folder:
        context = playwright.chromium.launch_persistent_context(
            folder, executable_path=chromium(), args=FLAGS, color_scheme="light", **looks
        )
        walk(context.pages[0], running)
        context.close()


def main() -> None:
    """Take all pictures; an exception says which screen was not what it should be."""
    FOLDER.mkdir(parents=True, exist_ok=True)
    with (
        tempfile.TemporaryDirectory() as folder,
        started(Path(folder), "--demo") as running,
        sync_playwright() as playwright,
    ):
        take(playwright, running, of_a_home, UPRIGHT)
        take(playwright, running, of_a_plan, UPRIGHT)
        take(playwright, running, of_a_rescue, UPRIGHT | DESK)


if __name__ == "__main__":
    main()
