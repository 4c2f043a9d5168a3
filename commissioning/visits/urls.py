"""Addresses of the visits. An owed check is named by its key and the tag of its subject: static_level:W1."""

from django.urls import path

from commissioning.visits import (
    defect_views,
    field_sheet_views,
    hold_views,
    kit_views,
    measurement_views,
    photo_views,
    question_views,
    signing_views,
    views,
)

urlpatterns = [
    path("visits/", views.visit_list, name="visit-list"),
    path("visits/begin/", views.visit_begin, name="visit-begin"),
    path("photo/<uuid:photo_id>/<str:size>/", photo_views.photo_file, name="photo-file"),
    path("visit/<uuid:visit_id>/", views.visit_detail, name="visit-detail"),
    path("visit/<uuid:visit_id>/photos/", photo_views.visit_photos, name="visit-photos"),
    path("visit/<uuid:visit_id>/field-sheet/", field_sheet_views.visit_field_sheet, name="visit-field-sheet"),
    path("visit/<uuid:visit_id>/instruments/", kit_views.visit_instruments, name="visit-instruments"),
    path("visit/<uuid:visit_id>/sign/", signing_views.visit_sign, name="visit-sign"),
    path("visit/<uuid:visit_id>/end/", signing_views.visit_end, name="visit-end"),
    path("visit/<uuid:visit_id>/hold/<slug:key>/", hold_views.hold_detail, name="hold-detail"),
    path("visit/<uuid:visit_id>/defect/", defect_views.defect_raise, name="defect-raise"),
    path("visit/<uuid:visit_id>/defect/<uuid:defect_id>/", defect_views.defect_detail, name="defect-detail"),
    path("visit/<uuid:visit_id>/question/<uuid:question_id>/", question_views.question_detail, name="question-detail"),
    path("visit/<uuid:visit_id>/<path:owed_id>/aside/", measurement_views.set_aside, name="measurement-set-aside"),
    path("visit/<uuid:visit_id>/<path:owed_id>/", measurement_views.measurement, name="measurement"),
]
