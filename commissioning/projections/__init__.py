"""Every kind of evidence with what it writes into the rows that pages query."""
