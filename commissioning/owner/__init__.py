"""What the owner gets: a pack made from the record, and one private link to how things stand."""
