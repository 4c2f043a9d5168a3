"""Addresses of the office's own pages."""

from django.urls import path

from commissioning.office import limit_views, record_views, waiting_views

urlpatterns = [
    path("waiting/", waiting_views.waiting, name="waiting"),
    path("sites/import/", record_views.site_import, name="site-import"),
    path("sites/<uuid:site_id>/export/", record_views.site_export, name="site-export"),
    path("limits/<uuid:limit_id>/lift/", limit_views.limit_lift, name="limit-lift"),
    path("limits/<uuid:site_id>/<str:check_key>/", limit_views.limit_set, name="limit-set"),
]
