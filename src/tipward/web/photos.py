"""Photos that come in: bounded, decoded in a child process, written anew; names of files are never looked at."""

import subprocess
import sys
import threading
from pathlib import Path
from typing import Annotated

from fastapi import Depends, Request
from starlette.datastructures import UploadFile
from starlette.middleware.body_limit import RequestBodyLimitMiddleware
from starlette.types import ASGIApp, Receive, Scope, Send

from tipward.foundation import InputError, Problem

LARGEST_PHOTO = 12_000_000
FORM_AROUND_IT = 100_000
SECONDS = 15
CHILD = Path(__file__).parent / "picture_child.py"
STARTS = (b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n", b"RIFF")
HEADERS = {
    "content-disposition": 'inline; filename="photo.jpg"',
    "content-security-policy": "default-src 'none'; sandbox; frame-ancestors 'none'",
    "cross-origin-resource-policy": "same-origin",
}
_AT_ONCE = threading.BoundedSemaphore(2)  # a flood of photos must not fill the memory


class PhotoDoor:
    """Lets bodies as large as a photo through where photos are sent, and nowhere else."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app
        self.wide = RequestBodyLimitMiddleware(app, max_body_size=LARGEST_PHOTO + FORM_AROUND_IT)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        takes = scope["type"] == "http" and scope["method"] == "POST" and scope["path"].endswith("/photo")
        await (self.wide if takes else self.app)(scope, receive, send)


async def sent_photo(request: Request) -> bytes:
    """The bytes of the field "photo", b"" where no file was chosen."""
    file = (await request.form()).get("photo")
    return await file.read(LARGEST_PHOTO + 1) if isinstance(file, UploadFile) else b""


SentPhoto = Annotated[bytes, Depends(sent_photo)]


def safe_photo(data: bytes) -> bytes:
    """The photo written anew as JPEG.

    Parameters
    ----------
    data : bytes
        What was sent.

    Returns
    -------
    bytes
        JPEG, at most 1,600 pixels long, upright, without place and camera.

    Raises
    ------
    InputError
        Nothing, too much, no JPEG, PNG or WebP, or a picture that cannot be decoded within 10 s and 900 MB.

    Source: design (docs/explanation/security.md).

    >>> safe_photo(b"GIF89a")
    Traceback (most recent call last):
    ...
    tipward.foundation.errors.InputError: photo: 1 problem
      - photo: is no JPEG, PNG or WebP; send a photo as the camera makes it
    """
    if not data:
        raise _refused("was not chosen", "choose one and send it again")
    if len(data) > LARGEST_PHOTO:
        raise _refused(f"is larger than {LARGEST_PHOTO // 1_000_000} MB", "send a smaller one")
    if not data.startswith(STARTS):
        raise _refused("is no JPEG, PNG or WebP", "send a photo as the camera makes it")
    ran = _child(data)
    if ran.returncode != 0 or not ran.stdout.startswith(b"\xff\xd8\xff"):
        raise _refused("cannot be read, or has more than 50 million pixels", "take it again")
    return ran.stdout


def _child(data: bytes) -> subprocess.CompletedProcess[bytes]:
    """The decoder in a process of its own, that sees neither our environment nor our folder."""
    if not _AT_ONCE.acquire(timeout=SECONDS):
        raise _refused("has to wait for others", "send it again in a minute")
    try:
        command = [sys.executable, "-I", str(CHILD)]
        return subprocess.run(command, input=data, capture_output=True, timeout=SECONDS, env={}, check=False)
    except (subprocess.TimeoutExpired, OSError):
        raise _refused("took too long to read", "send a smaller one") from None
    finally:
        _AT_ONCE.release()


def _refused(what: str, step: str) -> InputError:
    return InputError("photo", [Problem("photo", what, step)])
