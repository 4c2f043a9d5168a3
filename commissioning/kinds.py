"""Every module that declares a kind of evidence, loaded once at start."""

from commissioning.projections import measurement, record, visit

__all__ = ["measurement", "record", "visit"]
