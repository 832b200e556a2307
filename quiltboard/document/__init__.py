"""The open project: one place that holds it, changes it and tells of changes."""
