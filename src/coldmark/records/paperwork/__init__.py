"""Papers made from the records: what is known of a job becomes the plain data that :mod:`coldmark.papers` sets."""
