"""The open work and its edits, as plain frozen data."""
