"""The office's pages: thin views and templates."""
