"""The forms of signing in and of a new password, in our words, and without a field that opens the keypad by itself."""

from typing import Any

from django.contrib.auth.forms import AuthenticationForm, PasswordChangeForm, SetPasswordForm
from django.forms import Form
from django.http import HttpRequest

NO_MATCH = "This name and password do not belong together. Capitals count in the password only."
WHAT_IS_ASKED = "Ten characters or more. No common password, and nothing like your own name."


def open_no_keypad(form: Form) -> None:
    """Take autofocus away: on a phone the keypad would hide the page before it is read."""
    for field in form.fields.values():
        field.widget.attrs.pop("autofocus", None)


def describe_new_password(form: Form) -> None:
    form.fields["new_password1"].help_text = WHAT_IS_ASKED
    form.fields["new_password2"].label = "New password once more"
    form.fields["new_password2"].help_text = ""


class SignInForm(AuthenticationForm):
    error_messages = {"invalid_login": NO_MATCH, "inactive": NO_MATCH}

    def __init__(self, request: HttpRequest | None = None, *args: Any, **kwargs: Any) -> None:
        super().__init__(request, *args, **kwargs)
        self.fields["username"].label = "Name you sign in with"
        self.fields["username"].widget.attrs.update(autocapitalize="none", spellcheck="false")
        open_no_keypad(self)


class ChangeForm(PasswordChangeForm):
    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        describe_new_password(self)
        open_no_keypad(self)


class ResetForm(SetPasswordForm):  # type: ignore[type-arg]  # generic in its stubs only
    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        describe_new_password(self)
        open_no_keypad(self)
