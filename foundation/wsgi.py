"""What an application server such as gunicorn starts: `gunicorn foundation.wsgi`."""

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "foundation.settings")
application = get_wsgi_application()
