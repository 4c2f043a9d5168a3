"""Addresses of the office's own pages."""

from django.urls import path

from commissioning.office import limit_views

urlpatterns = [
    path("limits/<uuid:limit_id>/lift/", limit_views.limit_lift, name="limit-lift"),
    path("limits/<uuid:site_id>/<str:check_key>/", limit_views.limit_set, name="limit-set"),
]
