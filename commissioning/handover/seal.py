"""Sealing a PDF, and reading the seal of one: PAdES baseline B (ETSI EN 319 142-1), certified, no change allowed.

The bytes inside the signature's own container are covered by no signature, so a file is compared as a whole first
(`authenticity.py`); the seal says who made a file that is not known as a whole, and how far it has been changed.
"""

import io
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from typing import Any, TypeVar

from commissioning.handover.seal_keys import SealError, fingerprint, load

T = TypeVar("T")
FIELD = "OfficeSeal"
REASON = "Handover sheet issued"


@dataclass(frozen=True)
class SealSeen:
    """What a file's seal says. `root` is the fingerprint of the root that it names, whether or not that is ours."""

    is_there: bool = False
    is_whole: bool = False
    """Nothing in the file has changed since it was sealed, and nothing was added."""
    is_intact: bool = False
    """The part that was sealed is unchanged; something may have been added behind it."""
    root: str = ""
    words: str = "no seal can be read"


NO_SEAL = SealSeen()


def seal_pdf(pdf: bytes, office: str) -> bytes:
    """Return the PDF with the office's seal. Raises SealError where the seal cannot be used."""
    from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
    from pyhanko.sign import signers
    from pyhanko.sign.fields import MDPPerm, SigSeedSubFilter

    meta = signers.PdfSignatureMetadata(
        field_name=FIELD, md_algorithm="sha256", subfilter=SigSeedSubFilter.PADES, certify=True,
        docmdp_permissions=MDPPerm.NO_CHANGES, reason=REASON, name=office or None,
    )  # fmt: skip
    signer = _signer()
    sealer, writer = signers.PdfSigner(meta, signer), IncrementalPdfFileWriter(io.BytesIO(pdf))
    return bytes(_in_a_thread(lambda: sealer.sign_pdf(writer).getvalue()))


def _in_a_thread(work: Callable[[], T]) -> T:
    """Return what some work gives. pyHanko runs an event loop of its own, which a thread that has one refuses."""
    with ThreadPoolExecutor(max_workers=1) as one:
        return one.submit(work).result()


def _signer() -> Any:
    from asn1crypto import keys, x509
    from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, PrivateFormat
    from pyhanko.sign.signers import SimpleSigner
    from pyhanko_certvalidator.registry import SimpleCertificateStore

    seal = load()
    key = seal.key.private_bytes(Encoding.DER, PrivateFormat.PKCS8, NoEncryption())
    leaf, root = (x509.Certificate.load(one.public_bytes(Encoding.DER)) for one in (seal.leaf, seal.root))
    store: Any = SimpleCertificateStore.from_certs([leaf, root])  # type: ignore[no-untyped-call]  # unannotated there
    return SimpleSigner(leaf, keys.PrivateKeyInfo.load(key), store)


def seal_of(pdf: bytes) -> SealSeen:
    """Return what the seal of a file says; whatever is no PDF, or no whole one, has none that can be read."""
    try:
        return _in_a_thread(lambda: _seal_of(pdf))
    except Exception:  # a hostile file may break any part of the reader: it has no seal then
        return NO_SEAL


def _seal_of(pdf: bytes) -> SealSeen:
    from pyhanko.pdf_utils.reader import PdfFileReader

    signatures = PdfFileReader(io.BytesIO(pdf)).embedded_signatures
    if not signatures:
        return SealSeen(words="it carries no seal")
    return _seen(signatures[0])


def _seen(signature: Any) -> SealSeen:
    """Validate one signature against the root it carries. Whether that root is ours is the caller's question."""
    from pyhanko.sign.validation import validate_pdf_signature
    from pyhanko_certvalidator import ValidationContext

    root = _carried_root(signature)
    if root is None:
        return SealSeen(is_there=True, words="its seal names nobody who vouches for it")
    moment = signature.self_reported_timestamp  # the leaf held when it sealed; the evidence says when that was
    context = ValidationContext(trust_roots=[root], allow_fetching=False, moment=moment)
    status = validate_pdf_signature(signature, context)
    is_whole = bool(status.bottom_line) and _covers_all(status)
    words = "its seal is whole" if is_whole else _broken_words(status)
    return SealSeen(True, is_whole, bool(status.intact and status.valid), _print_of(root), words)


def _covers_all(status: Any) -> bool:
    return bool(status.coverage) and status.coverage.name == "ENTIRE_FILE"


def _broken_words(status: Any) -> str:
    if not status.intact:
        return "the part under the seal was changed"
    if not _covers_all(status):
        return "something was added behind the seal"
    return "its seal does not hold"


def _carried_root(signature: Any) -> Any:
    """Return the certificate that vouches for itself and for the sealing one, if the signature carries it."""
    leaf = signature.signer_cert
    others = [one for one in signature.other_embedded_certs if one.self_issued and one.subject == leaf.issuer]
    return next((one for one in others if _vouches(one, leaf)), None)


def _vouches(root: Any, leaf: Any) -> bool:
    """Whether the root's key signed the leaf: a name alone is easily borrowed."""
    from cryptography.exceptions import InvalidSignature
    from cryptography.x509 import load_der_x509_certificate

    try:
        load_der_x509_certificate(leaf.dump()).verify_directly_issued_by(load_der_x509_certificate(root.dump()))
    except (InvalidSignature, ValueError, TypeError):
        return False
    return True


def _print_of(root: Any) -> str:
    from cryptography.x509 import load_der_x509_certificate

    return fingerprint(load_der_x509_certificate(root.dump()))


__all__ = ["NO_SEAL", "SealError", "SealSeen", "seal_of", "seal_pdf"]
