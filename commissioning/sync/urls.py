"""Addresses of work without signal: what a phone takes along, and what it brings back."""

from django.urls import path

from commissioning.sync import desk_views, item_views, pack_views, photo_views, settle_views, take_along, worker

urlpatterns = [
    path("sw.js", worker.worker, name="worker"),
    path("manifest.webmanifest", worker.manifest, name="manifest"),
    path("phone/", worker.here, name="phone-here"),
    path("phone/elsewhere/", worker.elsewhere, name="phone-elsewhere"),
    path("phone/take/<uuid:visit_id>/", take_along.take_along, name="phone-take"),
    path("phone/hello/", item_views.hello, name="phone-hello"),
    path("phone/items/", item_views.items, name="phone-items"),
    path("phone/photo/<str:sha256>/", photo_views.photo, name="phone-photo"),
    path("phone/pack/<uuid:visit_id>/", pack_views.pack, name="phone-pack"),
    path("visit/<uuid:visit_id>/choose/<path:owed_id>/", settle_views.measurement_choose, name="measurement-choose"),
    path("visit/<uuid:visit_id>/photos/awaited/", settle_views.photos_awaited, name="photos-awaited"),
    path("office/phones/", desk_views.phones, name="phones"),
    path("office/phones/<uuid:device_id>/", desk_views.phone_shut, name="phone-shut"),
    path("office/phones/<uuid:item_id>/drop/", desk_views.item_drop, name="item-drop"),
]
