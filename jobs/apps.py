from django.apps import AppConfig


class JobsConfig(AppConfig):
    """Houses and plans."""

    name = "jobs"
    default_auto_field = "django.db.models.BigAutoField"
