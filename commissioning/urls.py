"""Every address of the logbook, one include per room."""

from django.urls import include, path

from commissioning.accounts.views import home
from commissioning.health import healthz, readyz

urlpatterns = [
    path("", home, name="home"),
    path("healthz", healthz, name="healthz"),
    path("readyz", readyz, name="readyz"),
    path("account/", include("commissioning.accounts.urls")),
    path("", include("commissioning.sync.urls")),
    path("", include("commissioning.service.urls")),  # before the visits: there any path may name a check
    path("", include("commissioning.visits.urls")),
    path("sites/", include("commissioning.asbuilt.urls")),
    path("acceptance/", include("commissioning.acceptance.urls")),
    path("", include("commissioning.handover.urls")),
    path("", include("commissioning.owner.urls")),
    path("office/", include("commissioning.office.urls")),
]

handler400 = "commissioning.errors.bad_request"
handler403 = "commissioning.errors.not_found"
handler404 = "commissioning.errors.not_found"
handler500 = "commissioning.errors.server_error"
