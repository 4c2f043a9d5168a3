"""Read the forms of a page as a browser would: where they lead, and each field with what stands in it."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from html.parser import HTMLParser

TYPED = {"text", "search", "email", "password", "date", "time", "datetime-local", "number", "tel", "url"}


@dataclass
class Control:
    """One field: `kind` is the type of an input, `textarea` or `select`; `values` are what may be chosen."""

    name: str
    kind: str
    value: str = ""
    is_on: bool = False
    values: list[str] = field(default_factory=list)

    @property
    def is_typed(self) -> bool:
        return self.kind in TYPED or self.kind == "textarea"


@dataclass
class Form:
    action: str
    method: str
    controls: list[Control] = field(default_factory=list)

    def sent(self) -> dict[str, str | list[str]]:
        """Return what a browser sends when nothing is changed."""
        found: dict[str, str | list[str]] = {}
        for one in self.controls:
            if one.kind in {"file", "submit", "button"} or (one.kind in {"radio", "checkbox"} and not one.is_on):
                continue
            found[one.name] = one.value
        return found

    def named(self, name: str) -> Control | None:
        return next((one for one in self.controls if one.name == name), None)


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.forms: list[Form] = []
        self.open: Form | None = None
        self.inside: Control | None = None

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        had = {name: value or "" for name, value in attrs}
        if tag == "form":
            self.open = Form(had.get("action", ""), had.get("method", "get").lower())
            self.forms.append(self.open)
        elif tag == "option" and self.inside is not None:
            self._option(had)
        elif self.open is not None and had.get("name") and tag in {"input", "select", "textarea", "button"}:
            self._control(tag, had)

    def _control(self, tag: str, had: dict[str, str]) -> None:
        assert self.open is not None
        kind = {"input": had.get("type", "text"), "button": "submit"}.get(tag, tag)
        is_box = kind in {"radio", "checkbox"}
        one = Control(had["name"], kind, had.get("value", "on" if is_box else ""), "checked" in had)
        self.open.controls.append(one)
        self.inside = one if tag in {"select", "textarea"} else None

    def _option(self, had: dict[str, str]) -> None:
        assert self.inside is not None
        self.inside.values.append(had.get("value", ""))
        if "selected" in had or len(self.inside.values) == 1:
            self.inside.value = had.get("value", "")

    def handle_data(self, data: str) -> None:
        if self.inside is not None and self.inside.kind == "textarea":
            self.inside.value += data

    def handle_endtag(self, tag: str) -> None:
        if tag == "form":
            self.open = None
        if tag in {"select", "textarea"}:
            if self.inside is not None and tag == "textarea":
                self.inside.value = self.inside.value.removeprefix("\n")  # the parser keeps it, a browser does not
            self.inside = None


def forms_on(page: str) -> Iterator[Form]:
    """Yield each form of a page but the one that signs out."""
    reader = _Reader()
    reader.feed(page)
    return (form for form in reader.forms if "sign-out" not in form.action)
