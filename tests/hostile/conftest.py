"""The PostgreSQL server of the tests of records, for tests of kills too."""

from tests.unit.records.conftest import postgres  # noqa: F401  pytest finds it here
