"""x."""

from headstock.usecases.join_table import JoinTable


def render_table_sheet(table: JoinTable) -> bytes:
    """x."""
    return b""
