"""Codes of an app on a phone as a second step of signing in, and codes for the day the phone is gone.

An app shows six digits that change every 30 seconds: RFC 6238 with SHA-1, as all such apps know it.
"""

from __future__ import annotations

import base64
import hashlib
import io
import secrets
from datetime import datetime

import pyotp
import segno

__all__ = [
    "RECOVERY_CODES", "SECONDS", "app_address", "code_number", "code_picture", "new_recovery_codes", "new_secret",
    "recovery_hash", "spaced",
]  # fmt: skip

SECONDS = 30
"""How long an app shows a code, in seconds."""
RECOVERY_CODES = 8
_RECOVERY_BYTES = 15
"""120 bits, so that a plain hash keeps them; base32 makes 24 letters and figures of them."""
_BESIDE = 1
"""Codes before and after the present one that are taken too (RFC 6238, sections 5.2 and 6)."""


def new_secret() -> str:
    """What an app is given: 160 random bits in base32, as RFC 4226, section 4, recommends."""
    return pyotp.random_base32(32)


def code_number(secret: str, code: str, now: datetime, *, after: int) -> int | None:
    """The number of a code's half minute, counted from 1970; None when the code is wrong, too old or was used.

    Parameters
    ----------
    secret : str
        What the app was given, in base32.
    code : str
        As typed; spaces are left out.
    now : datetime
        The present moment, with its zone.
    after : int
        Number of the last code that was used; only later ones are taken (RFC 6238, section 5.2).
    """
    typed, app = "".join(code.split()), pyotp.TOTP(secret, interval=SECONDS)
    present = int(now.timestamp()) // SECONDS
    found = None
    for number in range(present - _BESIDE, present + _BESIDE + 1):
        if pyotp.utils.strings_equal(app.generate_otp(number), typed) and number > after:
            found = number
    return found


def app_address(secret: str, name: str, squad: str) -> str:
    """What the picture tells an app: the secret, whose it is and where it is for."""
    return pyotp.TOTP(secret, name=name, issuer=squad, interval=SECONDS).provisioning_uri()


def code_picture(address: str) -> str:
    """A QR code as SVG that stands in a page, drawn on this machine: dark on light by day and by night."""
    drawn = io.BytesIO()
    segno.make(address, error="m", micro=False).save(
        drawn, kind="svg", omitsize=True, border=4, dark="#000", light="#fff", xmldecl=False, svgns=True, nl=False,
        title="Picture for the app",
    )  # fmt: skip
    return drawn.getvalue().decode()


def spaced(secret: str) -> str:
    """A secret in groups of four, to be typed where no picture can be taken."""
    return " ".join(secret[at : at + 4] for at in range(0, len(secret), 4))


def new_recovery_codes() -> list[str]:
    """Codes that stand in for the app once each, made at random."""
    drawn = (base64.b32encode(secrets.token_bytes(_RECOVERY_BYTES)).decode().lower() for _ in range(RECOVERY_CODES))
    return ["-".join(one[at : at + 6] for at in range(0, len(one), 6)) for one in drawn]


def recovery_hash(code: str) -> str:
    """A recovery code as it is kept, however its letters and strokes are typed."""
    plain = "".join(sign for sign in code.casefold() if sign.isalnum())
    return hashlib.sha256(plain.encode()).hexdigest()
