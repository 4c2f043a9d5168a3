"""Fill the database that the environment names with a visit and a signed-in technician; print what a phone needs."""

import json
import os

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "commissioning.settings")

import django

django.setup()


def main() -> None:
    from django.contrib.auth import BACKEND_SESSION_KEY, HASH_SESSION_KEY, SESSION_KEY
    from django.contrib.sessions.backends.db import SessionStore
    from django.core.management import call_command

    from commissioning.models import User
    from tests.commissioning.worlds import site_with_record, visit_on

    call_command("migrate", verbosity=0)
    user = User.objects.create_user("marsh", display_name="T. Marsh")
    visit = visit_on(site_with_record(user), user)
    session = SessionStore()
    session[SESSION_KEY] = str(user.pk)
    session[BACKEND_SESSION_KEY] = "django.contrib.auth.backends.ModelBackend"
    session[HASH_SESSION_KEY] = user.get_session_auth_hash()
    session.save()
    told = {
        "session": session.session_key,
        "user": str(user.handle),
        "site": str(visit.site_id),
        "visit": str(visit.pk),
    }
    print(json.dumps(told))


main()
