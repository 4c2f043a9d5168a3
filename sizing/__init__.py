"""What the numbers should be: physics in SI floats, no Django, no unit strings."""

CORE_VERSION = "2026.11"
"""Stands in every judgement; raised with each change of a number that a check gives."""
