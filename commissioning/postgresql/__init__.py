"""PostgreSQL as the logbook needs it: one writer at a time, as on SQLite."""
