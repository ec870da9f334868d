"""Papers: plain data in, PDF bytes out. Nothing here knows a database; the drawings are the bench's own."""
