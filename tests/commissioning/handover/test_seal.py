"""The seal and what a file is: every tampering is found, by the whole file's hash and by the seal beside it.

A second validator, of the PDF tools of the system (poppler's `pdfsig`), reads the seal as well: ETSI EN 319 142-1,
level B. The sheets here are one small page with the real record enclosed, under the real seal.
"""

import io
import random
import shutil
import stat
import subprocess
import zipfile
from io import StringIO

import pytest
from django.core.management import CommandError, call_command
from django.test import Client
from django.urls import reverse

from commissioning import evidence, files, pdf
from commissioning.handover import seal_keys, services, sheet_pdf
from commissioning.handover.authenticity import examine
from commissioning.handover.seal import seal_of, seal_pdf
from commissioning.models import Event, Sheet, SheetFile
from commissioning.open_record.export import export_site
from tests.commissioning.handover.conftest import site_of_a_tank
from tests.commissioning.worlds import visit_on

pytestmark = [
    pytest.mark.django_db,
    pytest.mark.usefixtures("small_page"),
    pytest.mark.skipif(bool(pdf.pdf_available()), reason=str(pdf.pdf_available())),
]
FLIPS, FLIPS_LONG = 100, 1000
SEED = 20_270_414


@pytest.fixture
def keys(settings, tmp_path):
    """An office of its own, with no seal yet."""
    settings.KEYS_ROOT = tmp_path / "keys"
    return tmp_path / "keys"


@pytest.fixture
def visit(tank_visit):
    return tank_visit


@pytest.fixture
def sheet(tank_sheet):
    return tank_sheet


@pytest.fixture
def made(sheet):
    return files.read(sheet.file_hash)


def verify(*args):
    """Return exit status and words of `manage.py verify`."""
    out = StringIO()
    try:
        call_command("verify", *args, stdout=out)
    except CommandError as error:
        return error.returncode, f"{out.getvalue()}{error}"
    return 0, out.getvalue()


# ---- keys -------------------------------------------------------------------------------


def test_keys_are_made_on_first_use_and_closed_to_others(keys):
    seal_keys.ensure()
    assert {file.name for file in keys.iterdir()} == {"root.key", "root.pem", "leaf.p12"}
    assert {stat.S_IMODE(file.stat().st_mode) for file in keys.iterdir()} == {0o600}
    assert stat.S_IMODE(keys.stat().st_mode) == 0o700
    first = seal_keys.own_fingerprint()
    seal_keys.ensure()
    assert seal_keys.own_fingerprint() == first


def test_of_two_first_uses_the_first_stands(keys, monkeypatch):
    real = seal_keys._new_root

    def beaten():
        monkeypatch.setattr(seal_keys, "_new_root", real)
        seal_keys.ensure()  # another process is faster
        return real()

    monkeypatch.setattr(seal_keys, "_new_root", beaten)
    seal_keys.ensure()
    assert seal_keys.load().leaf.issuer == seal_keys.read_root().subject
    assert [one.name for one in keys.parent.iterdir()] == ["keys"]
    seal_keys.load().leaf.verify_directly_issued_by(seal_keys.read_root())


def test_root_goes_to_a_stick_and_renews_the_leaf_from_there(keys, tmp_path):
    stick = tmp_path / "stick"
    stick.mkdir()
    before = seal_keys.load().leaf.serial_number
    call_command("makeseal", "--root-to", str(stick), stdout=StringIO())
    assert not (keys / "root.key").exists()
    (taken,) = stick.iterdir()
    assert stat.S_IMODE(taken.stat().st_mode) == 0o600
    sealed = seal_pdf(page(), "")  # sealing needs the leaf alone
    call_command("makeseal", "--renew", str(taken), stdout=StringIO())
    assert seal_keys.load().leaf.serial_number != before
    assert seal_of(sealed).is_whole  # sealed by the leaf before, under the same root
    with pytest.raises(CommandError, match="taken out before"):
        call_command("makeseal", "--root-to", str(stick), stdout=StringIO())


def test_leaf_is_renewed_by_no_other_root(keys, tmp_path, settings):
    seal_keys.ensure()
    other = tmp_path / "other"
    shutil.move(keys, other)
    with pytest.raises(CommandError, match="not the key of this office's root"):
        call_command("makeseal", "--renew", str(other / "root.key"), stdout=StringIO())


def test_leaf_with_a_password_opens_with_it_alone(keys, settings):
    settings.SEAL_PASSWORD = "heron and reed"
    seal_keys.ensure()
    assert seal_of(seal_pdf(page(), "")).is_whole
    settings.SEAL_PASSWORD = "heron and rush"
    with pytest.raises(seal_keys.SealError, match="SEAL_PASSWORD"):
        seal_pdf(page(), "")


def test_seal_that_cannot_be_used_issues_nothing(keys, settings, visit, issue):
    settings.SEAL_PASSWORD = "heron and reed"
    seal_keys.ensure()
    settings.SEAL_PASSWORD = ""
    with pytest.raises(services.NotIssuedError, match="SEAL_PASSWORD"):
        issue(visit)
    assert not Sheet.objects.exists()


def page():
    return pdf.render_pdf("<html><title>x</title><p>one page</p>")


# ---- the seal ---------------------------------------------------------------------------


def test_seal_holds_for_a_second_validator(made, tmp_path):
    (tmp_path / "sheet.pdf").write_bytes(made)
    said = subprocess.run(["pdfsig", "sheet.pdf"], cwd=tmp_path, capture_output=True, text=True).stdout
    for words in ("Signature is Valid", "Total document signed", "ETSI.CAdES.detached", "SHA-256"):
        assert words in said


def test_seal_forbids_every_change(made):
    """DocMDP, level 1: no changes at all (ISO 32000-2, table 257)."""
    from pypdf import PdfReader

    root = PdfReader(io.BytesIO(made)).trailer["/Root"]
    certified = root["/Perms"]["/DocMDP"].get_object()
    assert certified["/Reference"][0]["/TransformParams"]["/P"] == 1
    assert certified["/SubFilter"] == "/ETSI.CAdES.detached"


def test_record_is_enclosed_and_the_root_is_printed(sheet, made):
    from pypdf import PdfReader

    (enclosed,) = PdfReader(io.BytesIO(made)).attachments["record.json"]
    assert enclosed.decode() == sheet.body
    assert f'"seal":"{seal_keys.own_fingerprint()}"' in sheet.body


# ---- a file is examined -----------------------------------------------------------------


def test_issued_file_is_authentic(sheet, made, tmp_path):
    (tmp_path / "a.pdf").write_bytes(made)
    status, said = verify(str(tmp_path / "a.pdf"))
    assert (status, said.splitlines()[:2]) == (
        0, ["authentic: Genuine and current.", f"sheet {sheet.number}, revision 1, issued"],
    )  # fmt: skip


def test_superseded_and_withdrawn_are_said_and_fail(sheet, made, visit, issue, office, tmp_path):
    (tmp_path / "a.pdf").write_bytes(made)
    second = issue(visit, reason="Name wrong.")
    status, said = verify(str(tmp_path / "a.pdf"))
    assert status == 1
    assert said.startswith("superseded: Genuine, but superseded by revision 2.")
    (tmp_path / "b.pdf").write_bytes(files.read(second.file_hash))
    assert verify(str(tmp_path / "b.pdf"))[0] == 0
    services.withdraw_sheet(sheet=second, reason="Wrong system.", actor=office)
    assert verify(str(tmp_path / "b.pdf"))[1].startswith("withdrawn: ")
    assert verify(str(tmp_path / "b.pdf"))[0] == 1
    assert "superseded by revision 2, which is withdrawn" in verify(str(tmp_path / "a.pdf"))[1]


def incremental(made):
    """Return the file with its language changed in an appended revision, as an editor would."""
    from pyhanko.pdf_utils import generic
    from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter

    writer = IncrementalPdfFileWriter(io.BytesIO(made))
    writer.root["/Lang"] = generic.pdf_string("fr")
    writer.update_root()
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


def rewritten(made):
    """Return the file written anew by another program: no byte is where it was, and the seal is gone."""
    from pypdf import PdfReader, PdfWriter

    writer = PdfWriter(clone_from=PdfReader(io.BytesIO(made)))
    writer._root_object.pop("/AcroForm", None)
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


CHANGES = {
    "a byte in a page": lambda made: flipped(made, 900 * 8),
    "a byte in the seal's container": lambda made: flipped(made, (made.index(b"/Contents <") + 6000) * 8),
    "a byte appended": lambda made: made + b"\n",
    "another file appended": lambda made: made + made,
    "an incremental edit": incremental,
    "cut by a hundred bytes": lambda made: made[:-100],
    "cut in half": lambda made: made[: len(made) // 2],
    "written anew": rewritten,
    "seal cut out": lambda made: made[: made.rindex(b"%%EOF", 0, len(made) - 10) + 6],
}


def test_changed_copy_is_said_to_be_changed(sheet, made, tmp_path):
    words = f"changed: A copy of sheet {sheet.number}, revision 1, that was changed: do not rely on it."
    for change, changed in CHANGES.items():
        (tmp_path / "a.pdf").write_bytes(changed(made))
        status, said = verify(str(tmp_path / "a.pdf"))
        assert (status, said.splitlines()[0]) == (1, words), change


def flipped(made, bit):
    changed = bytearray(made)
    changed[bit // 8] ^= 1 << bit % 8
    return bytes(changed)


@pytest.mark.long
def test_every_flipped_bit_is_found(sheet, made, is_long, keep_record):
    """By the whole file's hash always; by the seal alone wherever it signs, all but its own container."""
    chance = random.Random(SEED)  # noqa: S311  # where to flip, no secret
    start, length = made.index(b"/Contents <"), len(made) * 8
    container = range(start * 8, (made.index(b">", start) + 1) * 8)
    found = by_seal = outside = 0
    flips = FLIPS_LONG if is_long else FLIPS
    for bit in (chance.randrange(length) for _ in range(flips)):
        changed = flipped(made, bit)
        found += examine(changed).answer in ("changed", "not ours")
        if bit not in container:
            outside += 1
            by_seal += not seal_of(changed).is_whole
    assert (found, by_seal) == (flips, outside)
    keep_record("seal", flips=flips, found=found, signed_bits=outside, found_by_the_seal_alone=by_seal, seed=SEED)


def test_flipped_bits_are_found_by_the_hash_and_by_the_seal(sheet, made):
    chance = random.Random(SEED)  # noqa: S311  # where to flip, no secret
    start = made.index(b"/Contents <")
    container = range(start * 8, (made.index(b">", start) + 1) * 8)
    for place, bit in enumerate(chance.randrange(len(made) * 8) for _ in range(FLIPS)):
        changed = flipped(made, bit)
        assert files.digest_of(changed) != sheet.file_hash
        if place % 10 == 0:  # the seal takes a quarter of a second; all of them in the long lane
            assert bit in container or not seal_of(changed).is_whole, bit
            assert not examine(changed).is_good


STRANGERS = {
    "nothing": b"",
    "text": b"Handover sheet",
    "another PDF": None,
    "half a header": b"%PDF-1.7\n",
    "endless references": b"%PDF-1.7\n1 0 obj\n<</Type/Catalog/Pages 1 0 R>>\nendobj\nxref\n0 2\n0000000000 65535 f \n"
    b"0000000009 00000 n \ntrailer<</Root 1 0 R/Size 2/Prev 9>>\nstartxref\n60\n%%EOF",
    "many brackets": b"%PDF-1.7\n1 0 obj\n" + b"[" * 50_000,
    "a hostile start": b"%PDF-1.7\nstartxref\n-1\n%%EOF",
    "a picture": b"\xff\xd8\xff" + b"\0" * 5000,
}


def test_whatever_is_not_ours_is_said_so_and_never_an_error(sheet, tmp_path):
    for stranger, data in STRANGERS.items():
        (tmp_path / "a.pdf").write_bytes(page() if data is None else data)
        status, said = verify(str(tmp_path / "a.pdf"))
        assert (status, said.splitlines()[0]) == (1, "not ours: This office has not issued it."), stranger


def test_sealed_by_a_stranger_of_the_same_name_is_not_ours(sheet, settings, tmp_path):
    settings.KEYS_ROOT = tmp_path / "stranger"
    forged = seal_pdf(page(), "")
    settings.KEYS_ROOT = seal_keys.Path(settings.DATA_DIR) / "demo-keys"
    assert seal_of(forged).is_whole
    assert examine(forged).answer == "not ours"


def test_our_record_under_a_strangers_seal_is_a_changed_copy(sheet, settings, tmp_path):
    settings.KEYS_ROOT = tmp_path / "stranger"
    forged = seal_pdf(sheet_pdf.render_sheet(sheet.body, "A4").replace(b"/Lang", b"/Long"), "")
    settings.KEYS_ROOT = seal_keys.Path(settings.DATA_DIR) / "demo-keys"
    assert examine(forged).answer == "changed"


def test_sealed_by_us_and_never_issued_is_not_to_be_relied_on():
    found = examine(seal_pdf(page(), ""))
    assert found.answer == "not ours"
    assert "has not issued it" in found.words


def test_missing_file_is_one_clear_line(tmp_path):
    with pytest.raises(CommandError, match="cannot be read: No such file"):
        call_command("verify", str(tmp_path / "none.pdf"))


# ---- the other paper --------------------------------------------------------------------


def test_office_makes_the_other_paper_once_and_it_is_authentic(as_office, as_technician, sheet):
    address = reverse("sheet-file", args=[sheet.pk, "Letter"])
    assert "No file has been made on Letter paper" in as_office.get(address, follow=True).text
    assert as_technician.post(address).status_code == 404
    for _ in range(2):
        as_office.post(address)
    (other,) = SheetFile.objects.all()
    assert Event.objects.filter(kind="sheet.printed").count() == 1
    data = as_technician.get(address).content
    assert files.digest_of(data) == other.file_hash != sheet.file_hash
    assert examine(data).is_good
    assert verify()[0] == 0
    with zipfile.ZipFile(io.BytesIO(export_site(sheet.site))) as archive:  # both files go out with the site
        assert {files.digest_of(archive.read(name)) for name in archive.namelist()} >= {
            sheet.file_hash, other.file_hash,
        }  # fmt: skip


def test_evidence_takes_one_file_a_paper_and_no_file_twice(sheet, office):
    def printed(paper, name):
        body = {"sheet": str(sheet.pk), "paper": paper, "file_hash": name * 64}
        return evidence.append(site=sheet.site, kind="sheet.printed", body=body, actor=office)

    with pytest.raises(evidence.RefusedError):
        printed("A4", "a")
    printed("Letter", "b")
    with pytest.raises(evidence.RefusedError):
        printed("Letter", "c")


# ---- the walk over all sheets -----------------------------------------------------------


def test_verify_finds_a_file_that_is_lost_or_another(sheet):
    path = files.path_of(sheet.file_hash)
    kept = path.read_bytes()
    path.write_bytes(kept + b" ")
    assert "the file on A4 paper is not the one that was made" in verify()[1]
    path.unlink()
    status, said = verify()
    assert (status, "the file on A4 paper is missing" in said) == (1, True)
    path.write_bytes(kept)
    assert verify()[0] == 0


def test_crash_before_the_event_leaves_no_sheet_and_the_number_to_the_next(visit, issue, monkeypatch):
    """The file is on disk, the event is not: as if the machine had stopped between the two."""
    real = evidence.append

    def stopped(**given):
        if given["kind"] == "sheet.issued":
            raise KeyboardInterrupt
        return real(**given)

    monkeypatch.setattr(services.evidence, "append", stopped)
    with pytest.raises(KeyboardInterrupt):
        issue(visit)
    assert not Sheet.objects.exists()
    monkeypatch.setattr(services.evidence, "append", real)
    sheet = Sheet.objects.get(pk=issue(visit).pk)
    assert (sheet.sequence, sheet.revision) == (1, 1)
    assert examine(files.read(sheet.file_hash)).is_good


# ---- the public page --------------------------------------------------------------------


def sent(data, name="a.pdf"):
    """Send as a browser does from a page that tells nobody where it is: it names no origin (Fetch, 3.2)."""
    file = io.BytesIO(data)
    file.name = name
    client = Client(enforce_csrf_checks=True, headers={"Origin": "null"})
    return client.post(reverse("file-verify"), {"file": file})


def test_stranger_sends_a_file_and_reads_the_answer(sheet, made, visit, issue):
    assert "Authentic: sheet" in sent(made).text
    assert "Changed: sheet" in sent(made + b"\n").text
    assert "Not ours" in sent(page()).text
    issue(visit, reason="Name wrong.")
    assert "Superseded: sheet" in sent(made).text


def test_hash_alone_is_enough(sheet):
    answer = Client().get(reverse("file-verify"), {"sha256": sheet.file_hash})
    assert "Authentic: sheet" in answer.text
    assert seal_keys.own_fingerprint()[:4] + " " in answer.text
    assert "No sheet with exactly this content" in Client().get(reverse("file-verify"), {"sha256": "ab" * 32}).text


def test_what_is_no_hash_only_asks_for_a_file():
    for asked in ("", "x", "AB" * 32, "ab" * 31, "é" * 64, "a\0" * 32, "٠" * 64):
        answer = Client().get(reverse("file-verify"), {"sha256": asked})
        assert answer.status_code == 200, asked
        assert "Which file?" in answer.text, asked


def test_no_file_and_too_large_a_file_are_said(sheet, monkeypatch):
    assert "Choose the PDF file first" in Client().post(reverse("file-verify")).text
    monkeypatch.setattr("commissioning.handover.public.MOST_BYTES", 10)
    assert "larger than any sheet" in sent(b"%PDF-1.7 and more").text


def test_answer_names_nobody_and_is_kept_by_nobody(sheet, made):
    answer = sent(made)
    for words in ("Quince Ridge", "M. Quill", "T. Marsh"):
        assert words not in answer.text
    assert answer.headers["Cache-Control"] == "no-store"


def test_file_sent_is_not_kept(sheet, made):
    data = made + b"\nsent"
    sent(data)
    assert not files.path_of(files.digest_of(data)).exists()


def test_visit_begun_elsewhere_has_its_own_sheet(technician, issue, sheet, made):
    """Two sheets of one office: a changed copy is laid to the right one."""
    other = Sheet.objects.get(pk=issue(visit_on(site_of_a_tank(technician, "Other"), technician)).pk)
    found = examine(flipped(files.read(other.file_hash), 900 * 8))
    assert found.sheet == other
