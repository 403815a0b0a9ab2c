"""Decisions: where to measure next, and what the scatter of readings does to the answer."""
