"""How values stand on pages."""
