"""Who gets what at the addresses of logging in and out, and of the server's health."""

from __future__ import annotations

from tests.access import EVERYBODY, LOGGED_IN, NO_SUCH_METHOD, Entry, only

OPEN = only(*EVERYBODY, anonymous=200)
HOME = only(*LOGGED_IN, status=302, anonymous=200)

ENTRIES: dict[str, Entry] = {
    "health": Entry(get=OPEN, post=only(*EVERYBODY, status=405, anonymous=405)),
    # Somebody logged in has no use for it and is sent to his houses.
    "login": Entry(get=HOME, post=HOME),
    "logout": Entry(get=NO_SUCH_METHOD, post=only(*LOGGED_IN)),
    "password_change": Entry(get=only(*LOGGED_IN), post=only(*LOGGED_IN)),
    "password_change_done": Entry(get=only(*LOGGED_IN), post=NO_SUCH_METHOD),
}
