"""Sign-in problems that a person has to fix, recognized by the driver's messages."""

import re

from kiosk.catalog.base import Message, say

SIGNS = {
    r'definition of service "': "shop.no_service",
    r"root certificate file": "shop.no_root",
    r"certificate verify failed": "shop.bad_certificate",
    r"does not match host name": "shop.other_name",
    r"server does not support SSL": "shop.no_tls",
    r"no password supplied": "shop.no_password",
    r"password authentication failed|autentificación password falló": "shop.wrong_password",
    r"pg_hba\.conf": "shop.no_entry",
    r'role ".*" does not exist|no existe el rol': "shop.wrong_password",
    r"is not permitted to log in|no se le permite conectarse": "shop.not_let_in",
    r"permission denied for database|permiso denegado a la base de datos": "shop.not_let_in",
    r"Peer authentication failed|autentificación Peer falló": "shop.not_let_in",
}
"""The server writes in its own language; English and Spanish are covered."""
_WHERE = re.compile(r"^(?:connection failed: )?(?:connection to server .*? failed: )?(?:FATAL: +)?")


def what_to_fix(error: str) -> Message | None:
    """Return what a person has to fix according to `error`, or None if waiting may help.

    `error` may have a line for each address that was tried.
    """
    for sign, message in SIGNS.items():
        line = next((line for line in error.splitlines() if re.search(sign, line)), None)
        if line is not None:
            return say(message, why=_WHERE.sub("", line.strip()))
    return None
