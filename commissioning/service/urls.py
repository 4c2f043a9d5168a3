"""Addresses of the return: the arrival, and the comparison of a visit with its baseline."""

from django.urls import path

from commissioning.service import views

urlpatterns = [
    path("visit/<uuid:visit_id>/service.pdf", views.service_record_file, name="service-record"),
    path("visit/<uuid:visit_id>/arrival/", views.arrival, name="arrival"),
    path("visit/<uuid:visit_id>/baseline/", views.comparison_list, name="comparison-list"),
    path("visit/<uuid:visit_id>/baseline/<slug:check>:<str:subject>/", views.comparison, name="comparison"),
]
