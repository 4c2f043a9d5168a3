"""The app: loads the system checks, and the kinds of evidence with what each projects."""

from django.apps import AppConfig


class CommissioningConfig(AppConfig):
    name = "commissioning"
    label = "commissioning"
    verbose_name = "commissioning logbook"

    def ready(self) -> None:
        from commissioning import checks, kinds  # noqa: F401  # both register themselves
