"""What readings say of each other: relations that hold whatever the right answer is, and the slips that break them."""
