"""The whole job on one phone: from signing up to a weekly review, with no signal in the middle."""

from __future__ import annotations

import re
import sqlite3
import time
from datetime import date, timedelta
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.journeys.phone import Phone
from tests.journeys.running import Running

pytestmark = pytest.mark.journey

WORKER_MS = 30_000  # the real worker answers within seconds; this is when to call it broken


def stored_grams(data: Path) -> list[int]:
    """Weigh-ins of Juniper as the server's own database holds them."""
    with sqlite3.connect(f"file:{data / 'tuckline.sqlite3'}?mode=ro", uri=True) as database:
        rows = database.execute(
            "select w.weight_g from records_weighin w join households_dog d on d.id = w.dog_id "
            "where d.name = 'Juniper' order by w.weight_g"
        ).fetchall()
    return [grams for (grams,) in rows]


def choose(page: Page, legend: str, answer: str) -> None:
    group = page.get_by_role("group", name=legend, exact=True)
    group.get_by_role("radio", name=answer, exact=True).check()


def sign_up(page: Page) -> None:
    page.get_by_role("link", name="Create an account").click()
    page.get_by_label("Your name").fill("Mara Lindqvist")
    page.get_by_label("E-mail").fill("mara@example.org")
    page.get_by_label("Password").fill("seven grey stones")
    page.get_by_role("button", name="Create account").click()


def add_dog(page: Page) -> None:
    page.get_by_role("link", name="Add a dog").first.click()
    page.get_by_label("Name", exact=True).fill("Juniper")
    choose(page, "Sex", "Female")
    choose(page, "Neutered", "Yes")
    page.get_by_label("Born on").fill((date.today() - timedelta(days=6 * 365)).isoformat())
    choose(page, "Breed", "A breed")
    page.get_by_label("Breed name").fill("beag")
    page.get_by_role("button", name=re.compile("Beagle")).first.click()
    expect(page.get_by_text("many healthy pets weigh more")).to_be_visible()
    choose(page, "Frame", "Medium")
    choose(page, "Coat", "Short")
    page.get_by_role("button", name="Save dog").click()
    expect(page.get_by_role("heading", name="Juniper", level=1)).to_be_visible()


def check_condition(page: Page) -> None:
    page.get_by_role("link", name="Check condition").first.click()
    # Ribs felt under pressure, sides straight, belly level; then muscle as it should be.
    for place in (3, 3, 3, 0):
        page.get_by_role("radio").nth(place).check()
        page.get_by_role("button", name="Next").click()
    page.get_by_role("button", name="Save check").click()
    expect(page.get_by_role("heading", name="Juniper", level=1)).to_be_visible()


def weigh(page: Page, keys: str) -> None:
    page.get_by_role("navigation").get_by_role("link", name="Weigh", exact=True).click()
    for key in keys:
        page.get_by_role("button", name="point" if key == "." else key, exact=True).click()
    page.get_by_role("button", name="Save", exact=True).click()
    expect(page.get_by_text("Saved on this phone").last).to_be_visible()


def add_food(page: Page) -> None:
    page.get_by_label("Name", exact=True).fill("Millstone dry adult")
    page.get_by_label("Energy", exact=True).fill("3600")
    page.get_by_label("Grams in one level cup").fill("100")
    page.get_by_role("button", name="Save food").click()
    expect(page.get_by_text("Millstone dry adult")).to_be_visible()


def open_dog(page: Page) -> None:
    page.get_by_role("navigation").get_by_role("link", name="Dogs", exact=True).click()
    page.get_by_role("link", name=re.compile("^Juniper")).first.click()
    expect(page.get_by_role("heading", name="Juniper", level=1)).to_be_visible()


def ask_for_a_plan(page: Page) -> None:
    page.get_by_label("Millstone dry adult now").fill("228")
    choose(page, "Was it weighed on a scale?", "Yes")
    choose(page, "Is the weight steady on it?", "Yes")
    page.get_by_role("button", name="Ask for a plan").click()


def until(holds: object, seconds: float) -> None:
    deadline = time.monotonic() + seconds
    while time.monotonic() < deadline:
        if holds():  # type: ignore[operator]
            return
        time.sleep(0.2)
    pytest.fail("it did not come to hold in time")


def test_from_sign_up_to_a_review_with_no_signal_in_the_middle(phone: Phone, tuckline: Running):
    page = phone.open()
    sign_up(page)
    add_dog(page)
    check_condition(page)
    weigh(page, "15.2")

    page.goto(tuckline.address + "/#/foods/new")
    add_food(page)
    open_dog(page)
    page.get_by_role("link", name="Ask for a plan").first.click()
    ask_for_a_plan(page)
    # The plan is computed by the real worker and pulled down.
    accept = page.get_by_role("button", name="Accept plan")
    expect(accept).to_be_visible(timeout=WORKER_MS)
    expect(page.get_by_text(re.compile(r"\d+\s?g\b")).first).to_be_visible()
    accept.click()
    expect(page.get_by_text(re.compile("Fed since"))).to_be_visible(timeout=WORKER_MS)
    until(lambda: stored_grams(tuckline.data) == [15200], 20)

    phone.signal(False)
    weigh(page, "15.1")
    weigh(page, "15.0")
    expect(page.get_by_text(re.compile("2 waiting"))).to_be_visible()
    until(lambda: phone.remembers("tuckline"), 60)
    phone.kill()
    assert stored_grams(tuckline.data) == [15200], "nothing can have been sent"

    page = phone.open(signal=False)
    expect(page.get_by_text(re.compile("2 waiting"))).to_be_visible()
    open_dog(page)
    for weight in ("15.2", "15.1", "15.0"):
        expect(page.get_by_text(re.compile(rf"{weight}\s?kg")).first).to_be_attached()

    phone.signal(True)
    expect(page.get_by_text("all sent")).to_be_visible(timeout=WORKER_MS)
    until(lambda: stored_grams(tuckline.data) == [15000, 15100, 15200], 20)
    # The new facts made the worker review the week; its words come down by themselves.
    expect(page.get_by_role("heading", name=re.compile("review", re.IGNORECASE))).to_be_visible(
        timeout=WORKER_MS
    )
    assert stored_grams(tuckline.data) == [15000, 15100, 15200], "each once"
