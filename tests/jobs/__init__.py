"""Houses, people, form systems and plans."""
