"""The open record: a site out to one file and back in exactly, and the schemas of what is in it."""

from commissioning.open_record.export import ExportError, export_site
from commissioning.open_record.load import LoadError, load_site
from commissioning.open_record.schema import AS_BUILT_SCHEMA, SITE_RECORD_SCHEMA

__all__ = ["AS_BUILT_SCHEMA", "SITE_RECORD_SCHEMA", "ExportError", "LoadError", "export_site", "load_site"]
