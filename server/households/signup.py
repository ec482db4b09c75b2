"""What sign-up asks beyond e-mail and password, and the household every new person starts with."""

from __future__ import annotations

from django import forms
from django.http import HttpRequest
from django.utils import timezone

from server.households import actions
from server.households.models import Person
from server.households.zones import known_zone


class SignUpForm(forms.Form):
    """Name and time zone; allauth adds e-mail and password and calls signup() at the end."""

    name = forms.CharField(max_length=80, label="Your name")
    tz = forms.CharField(max_length=64, required=False)

    def clean_tz(self) -> str:
        """An unknown zone is no reason to refuse a person: UTC then."""
        return known_zone(self.cleaned_data.get("tz") or "") or "UTC"

    def signup(self, request: HttpRequest, user: Person) -> None:
        """Keep the name and open the person's own household."""
        user.name = self.cleaned_data["name"]
        user.tz = self.cleaned_data["tz"]
        user.save(update_fields=["name", "tz"])
        actions.open_household(
            name=f"{user.name}'s dogs", kind="home", lead=user, now=timezone.now()
        )
