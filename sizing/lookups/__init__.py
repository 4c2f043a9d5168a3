"""What is printed on a thing, and the dimension that stands behind it."""
