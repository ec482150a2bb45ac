"""Check the files a user wrote against the schemas, in plain words."""

from speccomp.schema.files import check_files
from speccomp.schema.registry import FileKind, recognise
from speccomp.schema.validate import check_schema

__all__ = ["FileKind", "check_files", "check_schema", "recognise"]
