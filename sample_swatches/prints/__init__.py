"""The demo's twenty-four prints: drawn as cloth, then photographed."""
