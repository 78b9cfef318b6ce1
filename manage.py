#!/usr/bin/env python3
"""Django's command line. On a machine that has nothing yet it first sets itself up, see foundation/bootstrap.py."""

import os


def main() -> None:
    """Runs the command that was typed, in the project's own environment."""
    from foundation import bootstrap

    arguments = bootstrap.ensure()
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "foundation.settings")

    from django.core.management import execute_from_command_line

    from foundation import environment

    environment.assume_a_developer()
    execute_from_command_line(arguments)


if __name__ == "__main__":
    main()
