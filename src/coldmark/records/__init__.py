"""What is kept, and who may see it: models, migrations and the services that write them."""
