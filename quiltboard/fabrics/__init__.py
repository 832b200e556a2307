"""A picture's measures, and the fabric they belong to."""
