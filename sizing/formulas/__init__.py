"""Formulas by subject. Plain functions, equation and source in each docstring."""
