"""Every module that declares a kind of evidence, loaded once at start."""
