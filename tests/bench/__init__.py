"""Speed goals, measured as ratios within one run; never part of the tests."""
