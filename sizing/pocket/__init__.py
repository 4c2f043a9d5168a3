"""Expected windows tabulated for a phone without signal: physics stays here, the phone interpolates."""
