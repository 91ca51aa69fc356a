"""Accounts in tables of their own beside the entries; what is done with them is put on record in the chain."""
