"""Compaction: a layout moved together by linear programmes until nothing gives way any more."""
