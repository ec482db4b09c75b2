"""Every screen seen once opens with no network, and asks nobody else for anything, ever."""

from __future__ import annotations

import re
from dataclasses import dataclass

import pytest
from playwright.sync_api import Page, expect

from tests.journeys.phone import Phone
from tests.journeys.running import Running

pytestmark = pytest.mark.journey

FIRST_PULL_MS = 30_000  # the whole demo comes down; this is when to call it broken
PLACES = ["", "weigh", "dogs", "dogs/new", "foods", "foods/new", "settings", "signout", "cautions"]
OF_A_DOG = ["", "/plan", "/ask", "/check", "/score", "/edit", "/vet", "/rest"]
SHOWN_WHILE_READING = re.compile("Reading this phone|Fetching your dogs")
NOT_KEPT = re.compile("Not on this phone|No such dog here|Reconnect once", re.IGNORECASE)
WORDS = """
() => {
  const mark = document.querySelector("a.sync")?.innerText ?? "";
  return document.querySelector("main").innerText.replace(mark, "").replace(/\\s+/g, " ").trim();
}
"""
BREAK_THE_RULES = """
async (elsewhere) => {
  const seen = [];
  addEventListener("securitypolicyviolation", (event) => seen.push(event.effectiveDirective));
  const style = document.createElement("style");
  style.textContent = "body { rotate: 1deg; }";
  document.head.append(style);
  const picture = new Image();
  const refused = new Promise((done) => { picture.onerror = done; });
  picture.src = `${elsewhere}/picture.png`;
  await refused;
  let markup = "taken";
  try {
    document.body.insertAdjacentHTML("beforeend", "<b>bold</b>");
  } catch {
    markup = "refused";
  }
  await new Promise((done) => setTimeout(done));
  return { seen, markup };
}
"""


@dataclass(frozen=True)
class Seen:
    """A screen as it was with a signal."""

    path: str
    heading: str
    words: str


def sign_in(page: Page, email: str, password: str) -> None:
    page.get_by_role("link", name="I have an account").click()
    page.get_by_label("E-mail").fill(email)
    page.get_by_label("Password").fill(password)
    page.get_by_role("button", name="Sign in").click()
    expect(page.get_by_role("heading", name="Longwater Rescue")).to_be_visible(
        timeout=FIRST_PULL_MS
    )
    expect(page.get_by_text("all sent")).to_be_visible(timeout=FIRST_PULL_MS)


def look(page: Page, address: str, path: str) -> Seen:
    """Load a screen anew, as from a bookmark, and read it once it has read the phone."""
    page.goto("about:blank")
    page.goto(f"{address}/#/{path}", wait_until="commit")
    main = page.locator("main")
    expect(page.get_by_role("heading", level=1)).to_be_visible()
    expect(main).not_to_contain_text(SHOWN_WHILE_READING)
    words = words_of(page)
    return Seen(path, page.get_by_role("heading", level=1).inner_text(), words)


def words_of(page: Page) -> str:
    """What a screen says, once it says the same twice, but for the mark that tells of signal."""
    before = None
    while (said := page.evaluate(WORDS)) != before:
        before = said
        page.wait_for_timeout(150)
    return str(said)


def hrefs(page: Page, address: str, place: str, pattern: str) -> list[str]:
    look(page, address, place)
    found = page.locator(f"a[href^='#/{pattern}/']").evaluate_all(
        "links => links.map((link) => link.getAttribute('href').slice(2))"
    )
    return [path for path in dict.fromkeys(found) if not path.endswith("/new")]


def screens(page: Page, address: str) -> list[str]:
    """Every place, every dog with its plan, every kind of screen of one dog, every food."""
    dogs = hrefs(page, address, "dogs", "dogs")
    foods = hrefs(page, address, "foods", "foods")
    assert len(dogs) == 9
    assert foods
    first, *others = dogs
    weigh = "weigh?dog=" + first.removeprefix("dogs/")
    return [
        *PLACES,
        weigh,
        *(first + part for part in OF_A_DOG),
        *(dog + part for dog in others for part in ("", "/plan")),
        *foods,
    ]


def test_every_screen_seen_once_opens_with_no_network(demo_phone: Phone, demo: Running):
    page = demo_phone.open()
    sign_in(page, "mara@demo.tuckline.example", demo.demo_password())
    page.evaluate("() => navigator.serviceWorker.ready.then(() => true)")
    seen = [look(page, demo.address, path) for path in screens(page, demo.address)]
    assert len({one.heading for one in seen}) > 20, "the screens were not told apart"

    demo_phone.tidy()  # what opens now was kept by the app itself
    demo_phone.signal(False)
    answered = "() => fetch('/healthz', { cache: 'no-store' }).then(() => true, () => false)"
    assert page.evaluate(answered) is False, "there is still a network"
    for with_signal in seen:
        without = look(page, demo.address, with_signal.path)
        assert without.heading == with_signal.heading, with_signal.path
        assert not NOT_KEPT.search(without.words), with_signal.path
        if with_signal.path != "settings":  # tells of the signal itself
            assert without.words == with_signal.words, with_signal.path
    expect(page.get_by_text("no signal")).to_be_visible()
    assert demo_phone.complaints == []
    assert demo_phone.strangers == []


def test_a_breach_of_the_rules_would_be_noticed(demo_phone: Phone, demo: Running):
    """The watch of these journeys sees what it is there to see; without this it proves nothing."""
    page = demo_phone.open()
    expect(page.get_by_role("heading", level=1)).to_be_visible()
    assert demo_phone.complaints == []
    done = page.evaluate(BREAK_THE_RULES, "http://elsewhere.invalid")
    assert {"style-src-elem", "img-src"} <= set(done["seen"])
    assert done["markup"] == "refused", "Trusted Types are off"
    complaints = " ".join(demo_phone.complaints)
    assert "inline style" in complaints
    assert "elsewhere.invalid" in complaints

    page.goto("about:blank")  # no policy here: a request that does leave
    page.evaluate("() => fetch('http://elsewhere.invalid/', { mode: 'no-cors' }).catch(() => {})")
    assert any("elsewhere.invalid" in url for url in demo_phone.strangers)
    demo_phone.complaints.clear()
    demo_phone.strangers.clear()
