"""Run by Alembic: hands it the connection that `keelmark.store.migrate` opened."""

from alembic import context

from keelmark.store.access_schema import ACCESS_METADATA
from keelmark.store.health_schema import HEALTH_METADATA
from keelmark.store.rights_schema import RIGHTS_METADATA
from keelmark.store.schema import METADATA
from keelmark.store.trail_schema import TRAIL_METADATA

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=[METADATA, HEALTH_METADATA, ACCESS_METADATA, TRAIL_METADATA, RIGHTS_METADATA],
    version_table="keelmark_schema",
    render_as_batch=True,
    transactional_ddl=False,
)
context.run_migrations()
