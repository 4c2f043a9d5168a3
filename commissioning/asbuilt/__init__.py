"""The as-built room: sites, their components and runs, and what cannot be computed yet."""
