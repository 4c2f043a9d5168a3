"""The commissioning logbook: people, records, evidence, paper. The numbers come from `sizing`."""
