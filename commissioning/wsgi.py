"""The door for an application server: `gunicorn commissioning.wsgi`."""

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "commissioning.settings")
application = get_wsgi_application()
