"""The office's own pages: limits of a site."""
