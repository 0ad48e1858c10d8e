"""A printer's ICC profile as small as its header allows, for tests of what is done with one."""


def tiny_profile(*, kind: bytes = b"prtr", space: bytes = b"CMYK", name: str = "Test press") -> bytes:
    """Return an ICC v2 profile with a description and no tables (ICC.1:2001-04, 6.1 and 6.5.17)."""
    text = name.encode("ascii") + b"\0"
    tag = b"desc" + bytes(4) + len(text).to_bytes(4, "big") + text + bytes(78)
    size = 128 + 4 + 12 + len(tag)
    header = bytearray(128)
    header[0:4] = size.to_bytes(4, "big")
    header[8:12] = bytes.fromhex("02200000")
    header[12:16], header[16:20], header[20:24], header[36:40] = kind, space, b"Lab ", b"acsp"
    entry = b"desc" + (144).to_bytes(4, "big") + len(tag).to_bytes(4, "big")
    return bytes(header) + (1).to_bytes(4, "big") + entry + tag
