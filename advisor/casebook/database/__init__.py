"""The casebook's tables in SQLite or PostgreSQL: one schema, one set of migrations."""
