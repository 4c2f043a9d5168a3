"""Addresses of acceptance, by the visit that is accepted."""

from django.urls import path

from commissioning.acceptance import views

urlpatterns = [
    path("<uuid:visit_id>/", views.acceptance_detail, name="acceptance-detail"),
    path("<uuid:visit_id>/concession/<path:owed_id>/", views.concession_grant, name="concession-grant"),
    path("<uuid:visit_id>/question/<path:owed_id>/", views.question_ask, name="question-ask"),
]
