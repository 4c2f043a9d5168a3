"""The room of the return: what has changed since the site was handed over."""
