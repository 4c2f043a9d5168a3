"""Sites and their as-built records."""

from django.urls import path

from commissioning.asbuilt import design_views, record_views, replace_views, views, year_views

COMPONENTS = "<uuid:site_id>/record/components"
RUNS = "<uuid:site_id>/record/runs"

urlpatterns = [
    path("", views.site_list, name="site-list"),
    path("new", views.site_new, name="site-new"),
    path("<uuid:site_id>", views.site_detail, name="site-detail"),
    path("<uuid:site_id>/edit", views.site_edit, name="site-edit"),
    path("<uuid:site_id>/contact", views.contact_edit, name="contact-edit"),
    path("<uuid:site_id>/record", record_views.record_detail, name="record-detail"),
    path("<uuid:site_id>/record/print", record_views.record_print, name="record-print"),
    path("<uuid:site_id>/record/design", design_views.record_design, name="record-design"),
    path("<uuid:site_id>/record/year", year_views.record_year, name="record-year"),
    path(f"{COMPONENTS}/new/<slug:kind>", record_views.component_new, name="component-new"),
    path(f"{COMPONENTS}/<uuid:item_id>", record_views.component_edit, name="component-edit"),
    path(f"{COMPONENTS}/<uuid:item_id>/replace", replace_views.component_replace, name="component-replace"),
    path(f"{COMPONENTS}/<uuid:item_id>/retire", record_views.component_retire, name="component-retire"),
    path(f"{RUNS}/new/<slug:kind>", record_views.run_new, name="run-new"),
    path(f"{RUNS}/<uuid:item_id>", record_views.run_edit, name="run-edit"),
    path(f"{RUNS}/<uuid:item_id>/retire", record_views.run_retire, name="run-retire"),
]
