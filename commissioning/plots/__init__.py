"""The drawn pieces as strings of SVG: interval picture, chart, trend, symbols of the section.

Presentation attributes carry the black-and-white drawing, for paper and for a page without
its style sheet; classes let the screen colour it. No style attribute, no script.
"""

from commissioning.plots.chart import Plot
from commissioning.plots.interval import interval
from commissioning.plots.symbols import placed, symbol

__all__ = ["Plot", "interval", "placed", "symbol"]
