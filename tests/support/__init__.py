"""What tests share: a server in its own process, a PostgreSQL of their own, a browser."""
