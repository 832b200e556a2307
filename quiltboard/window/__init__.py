"""The window: what is seen and touched. It never edits; it asks the document to."""
