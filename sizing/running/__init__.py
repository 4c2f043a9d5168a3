"""How the owner of a system runs it: the order in which its own switches and valves are worked."""
