"""The one place where a picture made by `commissioning.plots` is let into a page as it is."""

from django import template
from django.utils.safestring import SafeString, mark_safe

register = template.Library()

OPENING = "<svg "
CLOSING = "</svg>"


@register.filter
def drawn(picture: str) -> SafeString:
    """Return a picture that `commissioning.plots` drew, unescaped; an empty one stays empty.

    Its words come escaped already. Anything that is not one whole drawing is a mistake in a view.
    """
    text = picture.strip()
    if not text:
        return SafeString("")
    if not text.startswith(OPENING) or not text.endswith(CLOSING) or "<script" in text.lower():
        raise ValueError("only a picture drawn by commissioning.plots may be shown unescaped")
    return mark_safe(text)  # noqa: S308  # checked above, and drawn by us alone
