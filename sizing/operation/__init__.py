"""A year of operation, hour by hour: what the sun, the pumps, the tanks and the battery do with a year's demand."""
