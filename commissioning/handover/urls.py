"""Addresses of the sheets, and the two public pages: where the code on the paper leads, and what a file is."""

from django.urls import path

from commissioning.handover import public, views

urlpatterns = [
    path("sheets/", views.sheet_list, name="sheet-list"),
    path("sheets/draft/<uuid:visit_id>/", views.sheet_draft, name="sheet-draft"),
    path("sheets/<uuid:sheet_id>/", views.sheet_detail, name="sheet-detail"),
    path("sheets/<uuid:sheet_id>/withdraw/", views.sheet_withdraw, name="sheet-withdraw"),
    path("sheets/<uuid:sheet_id>/<str:paper>.pdf", views.sheet_file, name="sheet-file"),
    path("sheets/visit/<uuid:visit_id>.pdf", views.visit_record_file, name="visit-record"),
    path("v/", public.file_verify, name="file-verify"),
    path("v/<path:token>/", public.sheet_verify, name="sheet-verify"),
]
