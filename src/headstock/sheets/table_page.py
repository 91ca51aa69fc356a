"""x."""

from headstock.usecases.join_table import JoinTable


def table_page(table: JoinTable) -> bytes:
    """x."""
    return b""
