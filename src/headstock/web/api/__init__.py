"""The same questions as on the command line, asked and answered as JSON under ``/api/v1``."""

PREFIX = "/api/v1"
