from django.urls import path

from commissioning.service import views

urlpatterns = [
    path("visits/<uuid:visit_id>/baseline/", views.comparison_list, name="comparison-list"),
    path("visits/<uuid:visit_id>/baseline/<slug:check>:<str:subject>/", views.comparison, name="comparison"),
]
