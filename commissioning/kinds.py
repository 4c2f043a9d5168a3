"""Every module that declares a kind of evidence, loaded once at start."""

from commissioning.projections import acceptance, measurement, record, visit

__all__ = ["acceptance", "measurement", "record", "visit"]
