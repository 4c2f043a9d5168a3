"""What is typed of a person."""

from typing import Any

from django import forms

from commissioning.models import Role, User


class PersonForm(forms.ModelForm):  # type: ignore[type-arg]  # generic in its stubs only
    """A person's names, address, role, and whether they still sign in."""

    role = forms.ChoiceField(label="Role", choices=Role.choices, widget=forms.RadioSelect)
    still_here = forms.BooleanField(
        label="Signs in",
        help_text="Without the tick they are signed out everywhere. What they measured keeps their name.",
        required=False,
    )

    class Meta:
        model = User
        fields = ("username", "display_name", "email")
        labels = {"username": "Name they sign in with", "email": "Mail address"}
        help_texts = {"username": "Letters, digits and @ . + - _ only.", "email": "For a forgotten password."}

    field_order = ("username", "display_name", "email", "role", "still_here")

    def __init__(self, *args: Any, actor: User, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.actor = actor
        self.fields["username"].widget.attrs.update(autocapitalize="none", spellcheck="false")
        self.fields["username"].widget.attrs.pop("autofocus", None)
        self.initial.setdefault("role", self.instance.role)
        self.initial.setdefault("still_here", self.instance.is_active)

    def clean(self) -> dict[str, Any]:
        data: dict[str, Any] = super().clean() or self.cleaned_data
        if self.instance.pk and self.instance.pk == self.actor.pk:
            if data.get("role") != self.instance.role:
                self.add_error("role", "Somebody else of the office has to change your role.")
            if not data.get("still_here"):
                self.add_error("still_here", "Somebody else of the office has to shut you out.")
        return data
