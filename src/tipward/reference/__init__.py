"""Reference tables with sources and grades of evidence, behind one loader."""

from tipward.reference.tables import Row, sources, table

__all__ = ["Row", "sources", "table"]
