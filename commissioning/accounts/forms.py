"""The sign-in form, with the attributes that let a password manager and a phone's keypad help."""

from typing import Any

from django.contrib.auth.forms import AuthenticationForm
from django.http import HttpRequest


class SignInForm(AuthenticationForm):
    error_messages = {
        "invalid_login": "This name and password do not belong together. Capitals count in the password only.",
        "inactive": "This name and password do not belong together. Capitals count in the password only.",
    }

    def __init__(self, request: HttpRequest | None = None, *args: Any, **kwargs: Any) -> None:
        super().__init__(request, *args, **kwargs)
        self.fields["username"].label = "Name you sign in with"
        self.fields["username"].widget.attrs.update(autocapitalize="none", spellcheck="false")
        self.fields["username"].widget.attrs.pop("autofocus", None)  # a phone's keypad would hide the page
