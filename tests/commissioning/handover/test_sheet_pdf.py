"""The sheet on paper: complete, repeatable, locked in, and its code leads to the page that vouches for it.

The record is frozen once and printed once for all tests here: both take seconds.
"""

import io
import json
import re
import subprocess
import threading
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

import pytest
import zxingcpp
from django.test import Client
from PIL import Image

from commissioning import files, pdf
from commissioning.canonical import canonical_json
from commissioning.handover.seal import seal_pdf
from commissioning.handover.sheet_pdf import render_sheet
from tests.commissioning.handover.on_paper import CALCULATOR, TABLE_OF_A_STANDARD, arguments, printed_table, read
from tests.commissioning.handover.started_up import start_up

pytestmark = pytest.mark.skipif(bool(pdf.pdf_available()), reason=str(pdf.pdf_available()))

KEPT: dict[str, object] = {}


@pytest.fixture
def record(request):
    """Return a frozen record of a visit with everything on it, the same text for all tests."""
    if "record" not in KEPT:
        technician, issue = request.getfixturevalue("technician"), request.getfixturevalue("issue")
        sheet = issue(start_up(technician))
        KEPT.update(record=sheet.body, made=files.read(sheet.file_hash), hash=sheet.file_hash)
    return KEPT["record"]


@pytest.fixture
def made(record):
    return KEPT["made"]


@pytest.fixture
def pages(made):
    """Return the text of each page, read once."""
    if "pages" not in KEPT:
        KEPT["pages"] = pages_of(made)
    return KEPT["pages"]


def pages_of(made):
    from pypdf import PdfReader

    return [page.extract_text() for page in PdfReader(io.BytesIO(made)).pages]


def text_of(made):
    return "\n".join(pages_of(made))


def short(record):
    """Return a record without its long parts: what they print is not the matter of every test."""
    frozen = json.loads(record)
    frozen["workings"], frozen["as_built"]["runs"], frozen["results"] = [], [], frozen["results"][:1]
    frozen["drawings"] = frozen["drawings"][:1]
    return frozen


def plain(text):
    """Return text without the white space in which a line may break."""
    return re.sub(r"\s+", "", text)


@pytest.mark.django_db
def test_every_value_limit_and_verdict_is_on_the_paper(record, pages):
    text = plain("".join(pages))
    lines = [line for group in json.loads(record)["results"] for line in group["lines"]]
    assert len(lines) > 40
    for line in lines:
        assert plain(line["title"]) in text
        for row in line["rows"]:
            for part in (row["value"], row["spread"], row["limits"], row["verdict"], row["words"], row["reason"]):
                assert plain(part) in text, (line["owed"], part)


@pytest.mark.django_db
def test_everything_else_that_was_frozen_is_on_the_paper(record, pages):
    frozen, text = json.loads(record), plain("".join(pages))
    issue = frozen["sheet"]
    parts = [issue["number"], issue["issued_on"], issue["standing"]["words"], issue["address"], frozen["site"]["name"]]
    parts += [p for item in issue["open_items"] for p in (item["what"], item["words"], item["who"], item["due"])]
    parts += [line for one in frozen["as_built"]["components"] + frozen["as_built"]["runs"] for line in one["lines"]]
    parts += [p for one in frozen["duty"] for p in (one["tag"], one["asked"], one["met"])]
    parts += [p for one in frozen["signatures"] for p in (one["name"], one["meaning"], one["when"])]
    parts += [step["result"] for working in frozen["workings"] for step in working["steps"]]
    parts += [line for working in frozen["workings"] for step in working["steps"] for line in step["equation"]]
    parts += frozen["limits_of_sheet"]
    assert [part for part in parts if plain(part) not in text] == []


@pytest.mark.django_db
def test_the_same_record_gives_the_same_bytes(record, made):
    assert canonical_json(json.loads(record)) == record
    brief = canonical_json(short(record))
    once = render_sheet(brief, "A4")
    assert render_sheet(brief, "A4") == once
    sealed = seal_pdf(once, "Saltbush office")
    assert sealed[: len(once)] == once  # the seal is put behind it
    assert len(sealed) - len(once) < 10_000
    assert files.digest_of(made) == KEPT["hash"]


FOLLOWED = [  # check, which value: five workings, from the plainest to the longest
    ("pump_cable_loop_resistance", ""),
    ("open_circuit_voltage", ""),
    ("well_pump_flow", "row 1, Flow"),
    ("tightness_whole", "Test pressure"),
    ("chlorine_dose", "Bleach poured"),
]


@pytest.mark.django_db
def test_five_workings_are_followed_from_paper_alone(record):
    """Six digits are printed, so each step is met to a few units of the sixth."""
    frozen = json.loads(record)
    for check, which in FOLLOWED:
        found = (w for w in frozen["workings"] if w["owed"].startswith(check + ":") and w["which"].startswith(which))
        working = next(found)
        table = printed_table(frozen["as_built"], "PU1") if check == "well_pump_flow" else []
        assert len(working["steps"]) > 2, check
        for step in working["steps"]:
            if step["formula"] == TABLE_OF_A_STANDARD:
                continue
            reckoned = CALCULATOR[step["formula"]]({**arguments(step), "table": table})
            assert reckoned == pytest.approx(read(step["result"]), rel=2e-5), (check, step["symbol"])


def first_page(made, tmp_path):
    """Return the first page as a picture, drawn by another program than the one that made it."""
    (tmp_path / "sheet.pdf").write_bytes(made)
    subprocess.run(
        ["pdftoppm", "-r", "150", "-f", "1", "-l", "1", "-png", "sheet.pdf", "page"], cwd=tmp_path, check=True
    )
    return Image.open(next(tmp_path.glob("page*.png")))


@pytest.mark.django_db
def test_code_on_the_paper_opens_the_public_page(issue, technician, tmp_path):
    from tests.commissioning.handover.started_up import begin_up

    sheet = issue(begin_up(technician), paper="Letter")
    (found,) = zxingcpp.read_barcodes(first_page(files.read(sheet.file_hash), tmp_path))
    assert found.text == json.loads(sheet.body)["sheet"]["address"]
    assert found.text.startswith("http://testserver/v/")
    answer = Client().get(found.text.removeprefix("http://testserver"))
    assert "Genuine and current" in answer.text
    assert sheet.file_hash in answer.text


@pytest.mark.django_db
def test_letter_is_the_same_sheet_on_other_paper(record):
    from pypdf import PdfReader

    brief = canonical_json(short(record))
    papers = {paper: render_sheet(brief, paper) for paper in ("A4", "Letter")}
    box = PdfReader(io.BytesIO(papers["Letter"])).pages[0].mediabox
    assert (float(box.width), float(box.height)) == (612.0, 792.0)  # 8.5 × 11 in, ANSI/ASME Y14.1
    words = {paper: sorted(set(re.findall(r"[\w.]{4,}", text_of(made)))) for paper, made in papers.items()}
    assert len(set(words["A4"]) ^ set(words["Letter"])) < len(words["A4"]) / 10  # but for words broken over lines


@pytest.mark.django_db
def test_standing_and_page_stand_in_every_footer(record, pages):
    words = plain(json.loads(record)["sheet"]["standing"]["words"])
    for place, page in enumerate(pages, 1):
        assert words in plain(page)
        assert f"page{place}of{len(pages)}" in plain(page)


class Canary(BaseHTTPRequestHandler):
    def do_GET(self):
        self.server.hits.append(self.path)
        self.send_response(404)
        self.end_headers()

    def log_message(self, *args):
        """Keep the test's output quiet."""


@pytest.fixture
def canary():
    server = ThreadingHTTPServer(("127.0.0.1", 0), Canary)
    server.hits = []
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield server
    server.shutdown()
    server.server_close()


@pytest.mark.django_db
def test_addresses_in_names_are_printed_as_text_and_reach_nothing(record, canary):
    url = f"http://127.0.0.1:{canary.server_port}"
    name = f"<img src={url}/> <style>p{{background:url({url}/css)}}</style> \"'>"
    frozen = short(record)
    frozen["site"]["name"] = frozen["site"]["place"] = name
    frozen["parties"]["owner"] = f'<link rel="stylesheet" href="{url}/x.css">'
    frozen["scope"]["covered"] = f"<svg><image href='{url}/y.png'/></svg> file:///etc/passwd"
    frozen["sheet"]["open_items"][0]["who"] = f"<iframe src={url}></iframe>"
    frozen["as_built"]["components"][0]["lines"][0] = f"<object data={url}></object>"
    text = plain(text_of(render_sheet(canonical_json(frozen), "A4")))
    assert canary.hits == []
    assert plain(f"<img src={url}/>") in text
    assert plain(f"<object data={url}></object>") in text


@pytest.mark.django_db
def test_signature_that_cannot_be_drawn_stands_as_its_name(record):
    frozen = short(record)
    frozen["signatures"][-1]["strokes"] = "[[[1,1]]]"
    assert "typed, not drawn" in text_of(render_sheet(canonical_json(frozen), "A4"))


@pytest.mark.django_db
def test_photograph_is_printed_and_a_lost_one_named_by_its_hash(record):
    from commissioning import photo_copies, photos

    buffer = io.BytesIO()
    Image.new("RGB", (640, 480), "grey").save(buffer, "JPEG")
    photo = photos.take_in(io.BytesIO(buffer.getvalue()))
    photo_copies.keep(photo)
    frozen = short(record)
    frozen["results"][0]["lines"][0]["photos"] = [photo.sha256, "ab" * 32]
    made = render_sheet(canonical_json(frozen), "A4")
    assert re.search(rb"/Subtype\s*/Image", made)
    text = plain(text_of(made))
    assert "ab" * 32 in text
    assert "Thefileisnothere." in text


@pytest.mark.django_db
def test_issued_file_is_handed_out_byte_for_byte_or_not_at_all(as_office, tank_sheet):
    sheet = tank_sheet
    address = f"/sheets/{sheet.pk}/A4.pdf"
    answer = as_office.get(address)
    assert answer.headers["Content-Type"] == "application/pdf"
    assert files.digest_of(answer.content) == sheet.file_hash
    assert as_office.get(f"/sheets/{sheet.pk}/A5.pdf").status_code == 404

    files.path_of(sheet.file_hash).write_bytes(b"%PDF-1.7 another")
    assert "not the one that was made" in as_office.get(address, follow=True).text
    files.path_of(sheet.file_hash).unlink()
    assert "Bring it back from a backup" in as_office.get(address, follow=True).text
