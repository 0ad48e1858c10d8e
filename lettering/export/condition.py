"""The printing condition that a press PDF is made for: an ICC profile of a printer with four inks."""

from dataclasses import dataclass, replace
from importlib.resources import files

from lettering.errors import OutputError


@dataclass(frozen=True, slots=True, kw_only=True)
class Profile:
    """The printing condition that the file is made for."""

    data: bytes
    """An ICC profile of a printer with four inks."""
    name: str
    """What people call the condition."""
    registered: str | None = None
    """Its name in the ICC's registry of characterisation data; none when it is not known to stand there."""


def profile(data: bytes, file: str) -> Profile:
    """Return an ICC profile that can be an output intent; raises OutputError for any other file.

    Wanted (ICC.1, 7.2): the signature 'acsp', the device class 'prtr', the colour space 'CMYK'.
    """
    if len(data) < 132 or data[36:40] != b"acsp" or int.from_bytes(data[:4], "big") != len(data):
        raise OutputError("this is no ICC profile, or a damaged one.", file, _HINT)
    if data[12:16] != b"prtr" or data[16:20] != b"CMYK":
        space = data[16:20].decode("latin-1").strip()
        raise OutputError(f"this profile is not of a printer with four inks, but of {space}.", file, _HINT)
    return Profile(data=data, name=_described(data) or file.rsplit("/", 1)[-1].removesuffix(".icc"))


_HINT = "Give the profile that the printer names with --profile, or none for coated paper (FOGRA39)."

_COATED = files("lettering.export") / "profiles" / "FOGRA39L_coated.icc"
"""Offset on coated paper, sheet-fed (ISO 12647-2, FOGRA39L); its licence stands beside it."""


def coated_paper() -> Profile:
    """Return the printing condition that is taken when the printer named none."""
    return replace(profile(_COATED.read_bytes(), _COATED.name), registered="FOGRA39")


def _described(data: bytes) -> str:
    """Return the profile's own description (ICC v2 `desc`, or v4 `mluc`); empty when it has none."""
    for k in range(min(int.from_bytes(data[128:132], "big"), 100)):
        entry = data[132 + 12 * k : 144 + 12 * k]
        if entry[:4] != b"desc":
            continue
        start, size = int.from_bytes(entry[4:8], "big"), int.from_bytes(entry[8:12], "big")
        tag = data[start : start + size]
        if tag[:4] == b"desc":
            return tag[12 : 12 + int.from_bytes(tag[8:12], "big")].decode("ascii", "ignore").strip("\0 ")
        if tag[:4] == b"mluc":
            long, at = int.from_bytes(tag[20:24], "big"), int.from_bytes(tag[24:28], "big")
            return tag[at : at + long].decode("utf-16-be", "ignore")
    return ""
