"""Makes the plumbing's own management commands known."""

from django.apps import AppConfig


class FoundationConfig(AppConfig):
    """The project's plumbing as an app, for its commands only: it has no tables."""

    name = "foundation"
