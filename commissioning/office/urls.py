"""Addresses of the office's own pages."""

from django.urls import path

from commissioning.office import (
    instrument_views,
    laboratory_views,
    limit_views,
    people_views,
    record_views,
    table_views,
    waiting_views,
)

urlpatterns = [
    path("waiting/", waiting_views.waiting, name="waiting"),
    path("people/", people_views.person_list, name="person-list"),
    path("people/new/", people_views.person_new, name="person-new"),
    path("people/<uuid:handle>/", people_views.person_edit, name="person-edit"),
    path("people/<uuid:handle>/link/", people_views.person_link, name="person-link"),
    path("sites/export/", table_views.every_site, name="site-export-all"),
    path("sites/<uuid:site_id>/readings/", table_views.site_readings, name="site-readings"),
    path("laboratory/<uuid:visit_id>/", laboratory_views.laboratory, name="laboratory"),
    path("laboratory/<uuid:visit_id>/notice/", laboratory_views.water_notice, name="water-notice"),
    path("laboratory/sample/<uuid:sample_id>/report/", laboratory_views.laboratory_report, name="laboratory-report"),
    path("laboratory/report/<uuid:report_id>/", laboratory_views.laboratory_file, name="laboratory-file"),
    path("instruments/", instrument_views.instrument_list, name="instrument-list"),
    path("instruments/new/", instrument_views.instrument_new, name="instrument-new"),
    path("instruments/<uuid:instrument_id>/", instrument_views.instrument_detail, name="instrument-detail"),
    path("instruments/<uuid:instrument_id>/card/", instrument_views.instrument_edit, name="instrument-edit"),
    path(
        "instruments/<uuid:instrument_id>/calibration/",
        instrument_views.instrument_calibrate,
        name="instrument-calibrate",
    ),
    path(
        "instruments/<uuid:instrument_id>/found-bad/",
        instrument_views.instrument_found_bad,
        name="instrument-found-bad",
    ),
    path("instruments/<uuid:instrument_id>/use/", instrument_views.instrument_retire, name="instrument-retire"),
    path("sites/import/", record_views.site_import, name="site-import"),
    path("sites/<uuid:site_id>/export/", record_views.site_export, name="site-export"),
    path("limits/<uuid:limit_id>/lift/", limit_views.limit_lift, name="limit-lift"),
    path("limits/<uuid:site_id>/<str:check_key>/", limit_views.limit_set, name="limit-set"),
]
