"""What could hurt a dog: the wrong dog weighed, a yes without the caution, a change by a viewer."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Page, expect

from tests.journeys.phone import Phone
from tests.journeys.running import Running

pytestmark = pytest.mark.journey

FIRST_PULL_MS = 30_000  # the whole demo comes down; this is when to call it broken
NO_DOG = "01900000-0000-7000-8000-000000000000"
UNIT_WITHOUT_SPACE = re.compile(r"\d(?:kg|lb|kcal|g a day|weeks|of 9)\b")


def sign_in(page: Page, running: Running, who: str) -> None:
    page.goto(running.address + "/#/signin")
    page.get_by_label("E-mail").fill(f"{who}@demo.tuckline.example")
    page.get_by_label("Password").fill(running.demo_password())
    page.get_by_role("button", name="Sign in").click()
    expect(page.locator("a.row.dog").first).to_be_visible(timeout=FIRST_PULL_MS)
    expect(page.get_by_text("all sent")).to_be_visible(timeout=FIRST_PULL_MS)


def dog_path(page: Page, running: Running, name: str) -> str:
    page.goto(running.address + "/#/")
    row = page.get_by_role("link", name=re.compile(f"^{name} ")).first
    return f"{running.address}/{row.get_attribute('href')}"


def test_a_weigh_in_for_a_dog_that_is_not_here_goes_to_no_other_dog(
    demo_phone: Phone, demo: Running
):
    page = demo_phone.open()
    sign_in(page, demo, "jonas")
    for address in (f"weigh?dog={NO_DOG}", f"weigh?correct={NO_DOG}"):
        page.goto(f"{demo.address}/#/{address}")
        expect(page.get_by_text("that was asked for is not here")).to_be_visible()
        expect(page.get_by_role("button", name="Save", exact=True)).to_have_count(0)


def test_the_caution_stands_above_the_yes_when_a_plan_is_opened(demo_phone: Phone, demo: Running):
    page = demo_phone.open()
    sign_in(page, demo, "ira")
    page.goto(dog_path(page, demo, "Rook") + "/plan")
    expect(page.get_by_role("button", name="Accept plan")).to_be_in_viewport()
    expect(page.get_by_text("Let a vet examine Rook")).to_be_in_viewport(ratio=1)


def test_a_viewer_sees_and_is_told_why_nothing_can_be_changed(demo_phone: Phone, demo: Running):
    page = demo_phone.open()
    sign_in(page, demo, "noor")
    bracken = dog_path(page, demo, "Bracken")
    page.goto(bracken)
    expect(page.get_by_text("You may look at Bracken, not change anything")).to_be_visible()
    for screen in ("check", "score", "edit", "vet", "rest", "ask"):
        page.goto(f"{bracken}/{screen}")
        expect(
            page.get_by_text(re.compile("a carer or a lead|Only a lead|A carer or a lead"))
        ).to_be_visible()
        for control in ("radio", "textbox", "checkbox"):
            expect(page.locator("main").get_by_role(control)).to_have_count(0)


def test_a_figure_is_read_out_apart_from_its_unit(demo_phone: Phone, demo: Running):
    page = demo_phone.open()
    sign_in(page, demo, "mara")
    juniper = dog_path(page, demo, "Juniper")
    for address in (f"{demo.address}/#/", juniper, juniper + "/plan"):
        page.goto(address)
        expect(page.get_by_text(re.compile(r"\d (kg|kcal)")).first).to_be_visible()
        read_out = page.locator("main").aria_snapshot()
        assert not UNIT_WITHOUT_SPACE.search(read_out), read_out
