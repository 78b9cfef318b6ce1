"""Hold points, records and sign-offs as a Django app."""

from django.apps import AppConfig


class InspectionsConfig(AppConfig):
    """The app `inspections`."""

    name = "inspections"
