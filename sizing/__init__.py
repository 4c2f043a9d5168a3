"""What the numbers should be: physics in SI floats, no Django, no unit strings."""
