from django.apps import AppConfig


class InspectionsConfig(AppConfig):
    """Hold points, releases and gates."""

    name = "inspections"
    default_auto_field = "django.db.models.BigAutoField"
