"""Signing in and out, and a forgotten password. Django's own views, with our words and closed doors."""

from typing import Any

from django.contrib import messages
from django.contrib.auth import views as auth
from django.contrib.auth.decorators import login_not_required
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse_lazy
from django.utils.decorators import method_decorator
from django.views.decorators.cache import never_cache
from django.views.generic import TemplateView

from commissioning.accounts.forms import ChangeForm, ResetForm, SignInForm
from commissioning.accounts.throttle import may_send_mail
from commissioning.htmx import HtmxHttpRequest
from commissioning.navigation import rooms

is_public = method_decorator(login_not_required, name="dispatch")


def home(request: HtmxHttpRequest) -> HttpResponse:
    """Send a person to the first room that is theirs."""
    mine = rooms(request)["rooms"]
    return redirect(str(mine[0]["url"])) if mine else render(request, "accounts/home.html")


@is_public
class SignIn(auth.LoginView):
    template_name = "accounts/sign_in.html"
    form_class = SignInForm
    redirect_authenticated_user = True


class SignOut(auth.LogoutView):
    """POST only: a link in a mail signs nobody out."""


class PasswordChange(auth.PasswordChangeView):
    template_name = "accounts/password_change.html"
    form_class = ChangeForm
    success_url = reverse_lazy("home")

    def form_valid(self, form: Any) -> HttpResponse:
        messages.success(self.request, "Your password is changed.")
        return super().form_valid(form)


@is_public
class PasswordReset(auth.PasswordResetView):
    """Ask for a link by mail. The answer is the same whether or not somebody has that address."""

    template_name = "accounts/password_reset.html"
    email_template_name = "accounts/password_reset_mail.txt"
    subject_template_name = "accounts/password_reset_subject.txt"
    success_url = reverse_lazy("password-reset-sent")

    def form_valid(self, form: Any) -> HttpResponse:
        """Send the mail, unless many were asked for of late: the answer is the same either way."""
        if may_send_mail(self.request, form.cleaned_data["email"]):
            return super().form_valid(form)
        return redirect(self.success_url)


@is_public
class PasswordResetSent(TemplateView):
    template_name = "accounts/password_reset_sent.html"


@is_public
@method_decorator(never_cache, name="dispatch")
class PasswordResetConfirm(auth.PasswordResetConfirmView):
    template_name = "accounts/password_reset_confirm.html"
    form_class = ResetForm
    success_url = reverse_lazy("sign-in")

    def form_valid(self, form: Any) -> HttpResponse:
        messages.success(self.request, "Your password is changed. Sign in with it.")
        return super().form_valid(form)
