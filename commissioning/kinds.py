"""Every module that declares a kind of evidence, loaded once at start."""

from commissioning.projections import (
    acceptance,
    concession,
    instrument,
    laboratory,
    limits,
    measurement,
    owner_link,
    owner_said,
    person,
    phone,
    question,
    record,
    settling,
    sheet,
    visit,
)

__all__ = [
    "acceptance",
    "concession",
    "instrument",
    "laboratory",
    "limits",
    "measurement",
    "owner_link",
    "owner_said",
    "person",
    "phone",
    "question",
    "record",
    "settling",
    "sheet",
    "visit",
]
