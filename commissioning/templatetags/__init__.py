"""Filters of our own for templates."""
