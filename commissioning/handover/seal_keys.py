"""The office's seal: a root that vouches, and a leaf that seals for three years.

Both are made on first use under the data folder, closed to other accounts of the machine. `manage.py makeseal` takes
the root's key away to a stick and closes the leaf with a password. Elliptic-curve keys on P-256, certificates after
RFC 5280. Whoever holds the leaf's key can seal; what counts as issued is said by the evidence alone.
"""

import hashlib
import os
import secrets
import tempfile
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from django.conf import settings

ROOT_KEY, ROOT, LEAF = "root.key", "root.pem", "leaf.p12"
ROOT_LASTS, LEAF_LASTS = timedelta(days=20 * 365), timedelta(days=3 * 365)
RENEW_BEFORE = timedelta(days=30)
CLOSED = 0o600
CLOCK_MAY_BE_FAST = timedelta(minutes=5)


class SealError(RuntimeError):
    """The seal cannot be used; the message says what to do."""


@dataclass(frozen=True)
class Seal:
    """The leaf's key with its certificate, and the root that vouches for it."""

    key: Any
    leaf: Any
    root: Any


def folder() -> Path:
    """Return where the keys lie."""
    return Path(settings.KEYS_ROOT)


def password() -> bytes | None:
    """Return the password of the leaf, if the environment names one."""
    return settings.SEAL_PASSWORD.encode() or None


def ensure() -> None:
    """Make root and leaf if there are none. Of two first uses at once, both get the pair that was in place first."""
    place = folder()
    if (place / ROOT).exists():
        return
    place.parent.mkdir(parents=True, exist_ok=True)
    scratch = Path(tempfile.mkdtemp(dir=place.parent, prefix=f"{place.name}."))
    root_key, root = _new_root()
    _write(scratch / ROOT_KEY, _key_text(root_key))
    _write(scratch / ROOT, _certificate_text(root))
    _write(scratch / LEAF, _leaf_file(root_key, root))
    try:
        scratch.rename(place)  # fails where another process has put a whole folder there
    except OSError:
        for file in scratch.iterdir():
            file.unlink()
        scratch.rmdir()


def load() -> Seal:
    """Return the seal, made or renewed if need be; raise SealError with what to do if that cannot be."""
    ensure()
    seal = _read_leaf()
    if seal.leaf.not_valid_after_utc - RENEW_BEFORE < datetime.now(UTC):
        if not (folder() / ROOT_KEY).exists() and seal.leaf.not_valid_after_utc < datetime.now(UTC):
            raise SealError("The seal has run out. Renew it with the root's key: manage.py makeseal --renew STICK")
        if (folder() / ROOT_KEY).exists():
            renew(folder() / ROOT_KEY)
            return _read_leaf()
    return seal


def renew(root_key_file: Path) -> None:
    """Put a new leaf in place, vouched for by the root whose key lies in a file."""
    root = read_root()
    root_key = _read_key(root_key_file)
    if root_key.public_key() != root.public_key():
        raise SealError(f"{root_key_file.name} is not the key of this office's root.")
    scratch = folder() / f"{LEAF}.{os.getpid()}"
    with suppress(FileNotFoundError):
        scratch.unlink()
    _write(scratch, _leaf_file(root_key, root))
    scratch.replace(folder() / LEAF)


def take_root_out(target: Path) -> Path:
    """Write the root's key to a folder elsewhere, read it back, then remove it here. Return the file written."""
    kept, taken = folder() / ROOT_KEY, target / "commissioning-logbook-root.key"
    if not kept.exists():
        raise SealError("The root's key is not here any more: it was taken out before.")
    if not target.is_dir():
        raise SealError(f"There is no folder {target}.")
    _write(taken, kept.read_bytes())
    if _read_key(taken).public_key() != read_root().public_key():
        raise SealError("What was written could not be read back. The key is still here.")
    kept.unlink()
    return taken


def read_root() -> Any:
    """Return the root's certificate."""
    from cryptography.x509 import load_pem_x509_certificate

    return load_pem_x509_certificate((folder() / ROOT).read_bytes())


def fingerprint(certificate: Any) -> str:
    """Return the SHA-256 of a certificate, in hexadecimal."""
    from cryptography.hazmat.primitives.serialization import Encoding

    return hashlib.sha256(certificate.public_bytes(Encoding.DER)).hexdigest()


def own_fingerprint() -> str:
    """Return the fingerprint of this office's root, making the seal on first use."""
    ensure()
    return fingerprint(read_root())


def _read_leaf() -> Seal:
    from cryptography.hazmat.primitives.serialization.pkcs12 import load_key_and_certificates

    try:
        key, leaf, _ = load_key_and_certificates((folder() / LEAF).read_bytes(), password())
    except FileNotFoundError:
        raise SealError(
            "The seal's leaf is missing. Make one with the root's key: manage.py makeseal --renew"
        ) from None
    except ValueError:
        raise SealError("The seal cannot be opened: SEAL_PASSWORD is not the password it was closed with.") from None
    return Seal(key, leaf, read_root())


def _read_key(file: Path) -> Any:
    from cryptography.hazmat.primitives.serialization import load_pem_private_key

    try:
        return load_pem_private_key(file.read_bytes(), None)
    except (OSError, ValueError, TypeError) as problem:
        raise SealError(f"The key cannot be read from {file}: {problem}") from problem


def _new_root() -> tuple[Any, Any]:
    from cryptography.x509 import BasicConstraints

    key = _new_key()
    name = _name("root")
    builder = _builder(name, name, key.public_key(), ROOT_LASTS)
    builder = builder.add_extension(BasicConstraints(ca=True, path_length=0), critical=True)
    builder = builder.add_extension(_usage(key_cert_sign=True, crl_sign=True), critical=True)
    return key, _signed(builder, key, key.public_key())


def _leaf_file(root_key: Any, root: Any) -> bytes:
    from cryptography.hazmat.primitives.serialization import BestAvailableEncryption, NoEncryption
    from cryptography.hazmat.primitives.serialization.pkcs12 import serialize_key_and_certificates
    from cryptography.x509 import BasicConstraints

    key = _new_key()
    builder = _builder(root.subject, _name("seal"), key.public_key(), LEAF_LASTS)
    builder = builder.add_extension(BasicConstraints(ca=False, path_length=None), critical=True)
    # without content_commitment a seal is made, but validates as untrusted (ETSI EN 319 412-2, key usage)
    builder = builder.add_extension(_usage(digital_signature=True, content_commitment=True), critical=True)
    leaf = _signed(builder, root_key, root_key.public_key())
    closed = BestAvailableEncryption(given) if (given := password()) else NoEncryption()
    return serialize_key_and_certificates(b"seal", key, leaf, [root], closed)


def _new_key() -> Any:
    from cryptography.hazmat.primitives.asymmetric import ec

    return ec.generate_private_key(ec.SECP256R1())


def _name(what: str) -> Any:
    from cryptography.x509 import Name, NameAttribute
    from cryptography.x509.oid import NameOID

    office = settings.OFFICE_NAME or "commissioning logbook"
    return Name([NameAttribute(NameOID.COMMON_NAME, f"{office[:50]}, {what}")])


def _builder(issuer: Any, subject: Any, public: Any, lasts: timedelta) -> Any:
    from cryptography.x509 import CertificateBuilder, SubjectKeyIdentifier

    now = datetime.now(UTC) - CLOCK_MAY_BE_FAST
    builder = CertificateBuilder().issuer_name(issuer).subject_name(subject).public_key(public)
    builder = builder.serial_number(secrets.randbits(128) | 1).not_valid_before(now).not_valid_after(now + lasts)
    return builder.add_extension(SubjectKeyIdentifier.from_public_key(public), critical=False)


def _signed(builder: Any, key: Any, issuer: Any) -> Any:
    from cryptography.hazmat.primitives.hashes import SHA256
    from cryptography.x509 import AuthorityKeyIdentifier

    named = builder.add_extension(AuthorityKeyIdentifier.from_issuer_public_key(issuer), critical=False)
    return named.sign(key, SHA256())


def _usage(**given: bool) -> Any:
    from cryptography.x509 import KeyUsage

    every = ("digital_signature", "content_commitment", "key_encipherment", "data_encipherment", "key_agreement",
             "key_cert_sign", "crl_sign", "encipher_only", "decipher_only")  # fmt: skip
    return KeyUsage(**{name: given.get(name, False) for name in every})


def _key_text(key: Any) -> bytes:
    from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, PrivateFormat

    return bytes(key.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption()))


def _certificate_text(certificate: Any) -> bytes:
    from cryptography.hazmat.primitives.serialization import Encoding

    return bytes(certificate.public_bytes(Encoding.PEM))


def _write(file: Path, data: bytes) -> None:
    """Write a file that only its owner can read, and that is on disk before this returns."""
    handle = os.open(file, os.O_WRONLY | os.O_CREAT | os.O_EXCL, CLOSED)
    with os.fdopen(handle, "wb") as stream:
        stream.write(data)
        stream.flush()
        os.fsync(stream.fileno())
