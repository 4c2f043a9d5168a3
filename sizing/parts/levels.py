"""The range of elevations that every part shares: above the datum, in metres."""

POSSIBLE_LEVEL = (-500.0, 500.0)
USUAL_LEVEL = (-150.0, 150.0)
