"""Drafted geometry of what is cut and sewn, in millimetres."""
