"""Acceptance: what a visit has found, what still blocks a sheet, what the office concedes."""
