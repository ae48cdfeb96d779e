"""What Alembic runs for each step, on the connection that `migrate` hands it."""

from __future__ import annotations

from alembic import context

from advisor.casebook.database.migrate import belongs_to_alembic
from advisor.casebook.database.tables import METADATA

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=METADATA,
    render_as_batch=True,
    include_object=belongs_to_alembic,
)
with context.begin_transaction():
    context.run_migrations()
