"""The entrance for the files of photos."""

from django.http import JsonResponse
from django.http.request import UnreadablePostError
from django.views.decorators.http import require_http_methods

from commissioning.htmx import HtmxHttpRequest
from commissioning.sync.answers import refused, said, storage_guarded
from commissioning.sync.photo_pieces import LARGEST_PIECE, PieceError, add_piece, how_much


@require_http_methods(["GET", "PUT"])
@storage_guarded
def photo(request: HtmxHttpRequest, sha256: str) -> JsonResponse:
    """Say how much of a photo's file is here; a PUT adds a piece."""
    try:
        have, done = how_much(sha256) if request.method == "GET" else _put(request, sha256)
    except PieceError as error:
        return refused(413 if error.code == "large" else 422, error.code, f"{str(error).capitalize()}.")
    except UnreadablePostError:
        return refused(400, "cut", "The piece was cut on its way.")
    except ValueError:
        return refused(422, "name", "A photo is named by the SHA-256 of its file.")
    return said({"have": have, "done": done})


def _put(request: HtmxHttpRequest, sha256: str) -> tuple[int, bool]:
    offset, total = (_whole(request.GET.get(name, "")) for name in ("offset", "total"))
    if _whole(request.META.get("CONTENT_LENGTH") or "0") > LARGEST_PIECE:
        raise PieceError("large", "a piece has at most 256 KiB")
    return add_piece(sha256, offset, total, request.body)


def _whole(text: str) -> int:
    if not (text.isascii() and text.isdigit() and len(text) < 12):
        raise PieceError("number", "offset and total are whole numbers of bytes")
    return int(text)
