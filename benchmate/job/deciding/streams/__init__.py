"""Decisions on the streams that are the shop's and no job's."""
