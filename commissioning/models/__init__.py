"""One module per noun."""

from commissioning.models.people import Role, User

__all__ = ["Role", "User"]
