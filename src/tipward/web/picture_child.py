"""Decodes one picture and writes it anew, in a process of its own: what a file does to the decoder stays in here.

Run as a script with the file on standard input; the new JPEG comes out on standard output. It imports nothing of Tipward.
"""

import io
import sys
import warnings

MOST_PIXELS = 50_000_000
LONGEST_SIDE = 1600
MEMORY, SECONDS = 900_000_000, 10
QUALITY = 82
FORMATS = ("JPEG", "PNG", "WEBP")


def bounded() -> None:
    """No more memory and time than a photo needs, and no file to write; where the system cannot, the parent's clock ends it."""
    try:
        import resource
    except ImportError:
        return
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
    resource.setrlimit(resource.RLIMIT_CPU, (SECONDS, SECONDS))
    resource.setrlimit(resource.RLIMIT_FSIZE, (0, 0))


def written_anew(data: bytes) -> bytes:
    """The picture upright, at most 1,600 pixels long, without a word of what else stood in the file."""
    from PIL import Image, ImageOps

    Image.MAX_IMAGE_PIXELS = MOST_PIXELS
    warnings.simplefilter("error", Image.DecompressionBombWarning)
    with Image.open(io.BytesIO(data), formats=FORMATS) as opened:
        opened.draft("RGB", (LONGEST_SIDE, LONGEST_SIDE))
        opened.load()
        picture = ImageOps.exif_transpose(opened).convert("RGB")
    picture.thumbnail((LONGEST_SIDE, LONGEST_SIDE))
    clean = Image.new("RGB", picture.size)
    clean.paste(picture)
    out = io.BytesIO()
    clean.save(out, "JPEG", quality=QUALITY, optimize=True)
    return out.getvalue()


if __name__ == "__main__":
    bounded()
    try:
        answer = written_anew(sys.stdin.buffer.read())
    except BaseException:
        sys.exit(3)
    sys.stdout.buffer.write(answer)
