"""How long a phone with no signal takes to show Today: `python -m tests.bench.cold_start`.

Fifty dogs with five hundred entries each lie on the phone; Chromium is started anew each time and
slowed to a quarter. Beside it, in turns, a bare page of the same server that opens the same
database and draws one line of it: what this machine and this browser take at the least.
"""

from __future__ import annotations

import statistics
import tempfile
from pathlib import Path

from playwright.sync_api import BrowserContext, Playwright, expect, sync_playwright

from tests.bench.seeded import DOGS, ENTRIES, fill
from tests.cli.running import up
from tests.journeys.phone import FLAGS, UPRIGHT
from tests.journeys.test_main_job import sign_up
from tests.needs import chromium

BUDGET_MS = 800  # the design's budget; 500 is the aim
SLOWDOWN = 4
ROUNDS = 5

# Notes when the wanted count of elements is on screen: in the frame after they came to be.
WATCH = """
(() => {
  const look = () => {
    if (document.querySelectorAll("[SELECTOR]").length < COUNT) return;
    watch.disconnect();
    requestAnimationFrame(() => setTimeout(() => { window.drawnAt = performance.now(); }));
  };
  const watch = new MutationObserver(look);
  watch.observe(document, { childList: true, subtree: true });
})();
"""
BARE_ADDRESS = "/healthz"  # a few bytes that the service worker leaves alone
BARE_PAGE = """
addEventListener("DOMContentLoaded", () => {
  const asked = indexedDB.open("NAME");
  asked.onsuccess = () => {
    asked.result.transaction("dog").objectStore("dog").openCursor().onsuccess = ({ target }) => {
      const line = document.createElement("h1");
      line.textContent = target.result.value.name;
      document.body.append(line);
    };
  };
});
"""


def launch(playwright: Playwright, folder: Path) -> BrowserContext:
    """The phone's browser with what it keeps in a folder."""
    return playwright.chromium.launch_persistent_context(
        str(folder), executable_path=chromium(), args=FLAGS, **UPRIGHT
    )


def prepare(playwright: Playwright, folder: Path, address: str) -> str:
    """Sign up, let the app be kept for offline use, fill its database; the database's name."""
    context = launch(playwright, folder)
    page = context.pages[0]
    page.goto(address)
    sign_up(page)
    expect(page.get_by_text("all sent")).to_be_visible(timeout=30_000)
    page.evaluate("() => navigator.serviceWorker.ready.then(() => true)")
    name = fill(page)
    page.reload()
    expect(page.locator("li.sheet")).to_have_count(DOGS, timeout=30_000)
    context.close()
    return name


def drawn_ms(
    playwright: Playwright, folder: Path, address: str, script: str, signal: bool
) -> float:
    """Start the browser, open an address, wait until it is drawn [ms from the navigation]."""
    context = launch(playwright, folder)
    page = context.pages[0]
    page.add_init_script(script)
    context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": SLOWDOWN})
    context.set_offline(not signal)
    page.goto(address, wait_until="commit")
    took = page.wait_for_function("() => window.drawnAt", timeout=60_000).json_value()
    context.close()
    return float(took)


def watch(selector: str, count: int) -> str:
    """The script that notes when so many elements are drawn."""
    return WATCH.replace("[SELECTOR]", selector).replace("COUNT", str(count))


def main() -> None:
    """Measure in turns; print one line."""
    with tempfile.TemporaryDirectory() as scratch, sync_playwright() as playwright:
        folder = Path(scratch)
        today: list[float] = []
        least: list[float] = []
        with up(folder / "server") as running:
            address = f"http://localhost:{running.port}"
            phone = folder / "phone"
            bare = BARE_PAGE.replace("NAME", prepare(playwright, phone, address))
            for _ in range(ROUNDS):
                script = watch("h1", 1) + bare
                least.append(drawn_ms(playwright, phone, address + BARE_ADDRESS, script, True))
                script = watch("li.sheet", DOGS)
                today.append(drawn_ms(playwright, phone, address, script, False))
    ms, bare_ms = statistics.median(today), statistics.median(least)
    print(
        f"cold start with no signal, {DOGS} dogs x {ENTRIES} entries, {SLOWDOWN}x slower: Today in "
        f"{ms:.0f} ms ({min(today):.0f} to {max(today):.0f}), {ms / BUDGET_MS:.2f} of the budget "
        f"of {BUDGET_MS} ms; {ms / bare_ms:.1f} x a bare page that draws one line "
        f"({bare_ms:.0f} ms), {ROUNDS} starts each"
    )


if __name__ == "__main__":
    main()
