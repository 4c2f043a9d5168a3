"""Signing in and out, and the two ways to a new password."""

from django.urls import path

from commissioning.accounts import views

urlpatterns = [
    path("sign-in", views.SignIn.as_view(), name="sign-in"),
    path("sign-out", views.SignOut.as_view(), name="sign-out"),
    path("password", views.PasswordChange.as_view(), name="password-change"),
    path("password/forgotten", views.PasswordReset.as_view(), name="password-reset"),
    path("password/sent", views.PasswordResetSent.as_view(), name="password-reset-sent"),
    path("password/<uidb64>/<token>", views.PasswordResetConfirm.as_view(), name="password-reset-confirm"),
]
