"""Copies that can be relied on: made while people write, verified when made, and put back by one command."""
