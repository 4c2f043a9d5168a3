"""The people who sign in. What they measured names them for good; what they are called may change."""

from typing import Any, ClassVar
from uuid import uuid4

from django.contrib.auth.models import AbstractUser, UserManager
from django.db import models
from django.db.models.functions import Lower


class Role(models.TextChoices):
    TECHNICIAN = "technician"
    OFFICE = "office"


class PeopleManager(UserManager["User"]):
    """Finds a name however it is capitalised: a phone's keypad writes the first letter large."""

    def get_by_natural_key(self, username: str | None) -> "User":
        return self.get(username__iexact=username)

    def create_superuser(
        self, username: str, email: str | None = None, password: str | None = None, **fields: Any
    ) -> "User":
        """Make the first person of an installation: someone of the office."""
        return super().create_superuser(username, email, password, **{"role": Role.OFFICE, **fields})


class User(AbstractUser):
    """A person who signs in, by a name that is not their mail address."""

    first_name = None  # type: ignore[assignment]  # how Django drops a field of its base
    last_name = None  # type: ignore[assignment]
    handle = models.UUIDField(
        default=uuid4, unique=True, editable=False
    )  # names the person in the chain, everywhere alike
    display_name = models.CharField("name as printed", max_length=80, blank=True)
    role = models.CharField(max_length=16, choices=Role, default=Role.TECHNICIAN)
    kit = models.TextField("instruments at hand", blank=True)
    """Kinds of instrument, a line each: what they last said that they have along."""
    objects: ClassVar[PeopleManager] = PeopleManager()

    class Meta(AbstractUser.Meta):
        verbose_name = "person"
        verbose_name_plural = "people"
        ordering = ["username"]
        constraints = [
            models.UniqueConstraint(
                Lower("username"),
                name="user_name_unique_in_any_case",
                violation_error_message="Somebody signs in with this name already.",
            ),
            models.CheckConstraint(
                condition=models.Q(role__in=Role.values),
                name="user_role_known",
                violation_error_message="A person is a technician or of the office.",
            ),
        ]

    def __str__(self) -> str:
        return self.get_full_name()

    def get_full_name(self) -> str:
        return self.display_name or self.username

    def get_short_name(self) -> str:
        return self.get_full_name()

    @property
    def is_office(self) -> bool:
        return self.role == Role.OFFICE
