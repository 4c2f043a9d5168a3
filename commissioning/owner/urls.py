"""Addresses of the owner's pack and link."""

from django.urls import path

from commissioning.owner import link_views, load_out_views, public, views

urlpatterns = [
    path("sites/<uuid:site_id>/pack/", views.owner_pack, name="owner-pack"),
    path("sites/<uuid:site_id>/pack.pdf", views.owner_pack_file, name="owner-pack-file"),
    path("sites/<uuid:site_id>/link/", link_views.owner_link, name="owner-link"),
    path("sites/<uuid:site_id>/load-out/<str:kind>/", load_out_views.site_load_out, name="site-load-out"),
    path("visits/<uuid:visit_id>/load-out/", load_out_views.visit_load_out, name="visit-load-out"),
    path("o/<str:token>/pack.pdf", public.owner_page_file, name="owner-link-pack"),
    path("o/<path:token>/", public.owner_page, name="owner-link-page"),
]
