"""Photos on a form. They are taken in at once, so that a form that comes back does not ask for them again."""

import io
from dataclasses import asdict, dataclass
from typing import Any

from django import forms
from django.core import signing

from commissioning import photo_copies, photos

SALT = "photo taken in"
MOST_PHOTOS = 12


@dataclass(frozen=True)
class KeptPhoto:
    """A photo whose file is stored and which is not yet tied to anything."""

    sha256: str
    media_type: str
    width: int
    height: int


class SeveralFiles(forms.ClearableFileInput):
    """A file button that takes several pictures, from the camera first."""

    allow_multiple_selected = True


class SeveralPhotos(forms.FileField):
    """Any number of files; what is in them is judged when they are taken in."""

    def clean(self, data: Any, initial: Any = None) -> list[Any]:
        return [one for one in data or [] if one]


def take_in(upload: Any) -> KeptPhoto:
    """Store an uploaded photo and return what is known of it; raises PhotoError."""
    photo = photos.take_in(io.BytesIO(upload.read(photos.LARGEST_FILE + 1)))
    photo_copies.keep(photo)
    return KeptPhoto(photo.sha256, photo.media_type, photo.width, photo.height)


class PhotoFields(forms.Form):
    """A form with photos. `carried` are those stored by an earlier sending of the same form."""

    photos = SeveralPhotos(
        required=False,
        label="Photo",
        widget=SeveralFiles(attrs={"accept": "image/*", "capture": "environment", "multiple": True, "data-photo": ""}),
    )

    def clean_photos(self) -> Any:
        uploads: list[Any] = self.cleaned_data["photos"]
        self.taken_in = {p.sha256: p for p in self._carried()}
        for upload in uploads[:MOST_PHOTOS]:
            try:
                found = take_in(upload)
            except photos.PhotoError as error:
                self.add_error("photos", f"{upload.name}: {error.message}")
            else:
                self.taken_in[found.sha256] = found
        return uploads

    def _carried(self) -> list[KeptPhoto]:
        sent = self.data.getlist("photo_kept") if hasattr(self.data, "getlist") else []
        found = []
        for token in sent[:MOST_PHOTOS]:
            try:
                found.append(KeptPhoto(**signing.loads(token, salt=SALT)))
            except (signing.BadSignature, TypeError):
                continue  # a changed token names no photo of ours
        return found

    def kept_photos(self) -> tuple[KeptPhoto, ...]:
        """Return the photos that are stored for this form, those of earlier sendings too."""
        return tuple(getattr(self, "taken_in", {}).values())

    def photo_tokens(self) -> list[str]:
        """Return what a form that comes back carries of its photos, signed."""
        return [signing.dumps(asdict(p), salt=SALT) for p in self.kept_photos()]
