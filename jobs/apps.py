"""Houses, plan revisions, orders and hand-outs as a Django app."""

from django.apps import AppConfig


class JobsConfig(AppConfig):
    """The app `jobs`."""

    name = "jobs"
