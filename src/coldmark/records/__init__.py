"""What is kept: Django models, the services that write them, the queries that read them, and who may see what."""
