"""The store: jobs, quotes, customers and catalogues, in one SQLite file or in PostgreSQL."""
