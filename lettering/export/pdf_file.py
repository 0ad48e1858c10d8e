"""The frame of a PDF file of one page (ISO 32000-1): its objects, where each begins, and its title."""

import zlib
from collections.abc import Mapping


def pdf_file(operators: str, *, size_pt: tuple[float, float], fonts: Mapping[str, str], title: str) -> bytes:
    """Return a PDF 1.4 whose one page of `size_pt`, points, is drawn by `operators`; no clock gets into it.

    `fonts` holds font dictionaries by the names that the operators use.
    """
    stream = zlib.compress(operators.encode("ascii"), 9)
    numbered = {name: 5 + i for i, name in enumerate(fonts)}
    used = " ".join(f"/{name} {number} 0 R" for name, number in numbered.items())
    text = (b"\xfe\xff" + title.encode("utf-16-be")).hex()
    objects = [
        b"<< /Type /Catalog /Pages 2 0 R >>",
        b"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
        (
            f"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 {size_pt[0]:.3f} {size_pt[1]:.3f}] "
            f"/Resources << /Font << {used} >> >> /Contents 4 0 R >>"
        ).encode(),
        b"<< /Length %d /Filter /FlateDecode >>\nstream\n%b\nendstream" % (len(stream), stream),
        *(font.encode("ascii") for font in fonts.values()),
        f"<< /Title <{text}> >>".encode(),
    ]
    return _joined(objects)


def _joined(objects: list[bytes]) -> bytes:
    """Return the objects, the last of which is the document's information, with their table."""
    data, starts = b"%PDF-1.4\n%\xe2\xe3\xcf\xd3\n", []
    for number, content in enumerate(objects, start=1):
        starts.append(len(data))
        data += b"%d 0 obj\n%b\nendobj\n" % (number, content)
    rows = b"".join(b"%010d 00000 n \n" % start for start in starts)
    size = len(objects) + 1
    trailer = b"<< /Size %d /Root 1 0 R /Info %d 0 R >>" % (size, size - 1)
    table = b"xref\n0 %d\n0000000000 65535 f \n%b" % (size, rows)
    return data + table + b"trailer\n%b\nstartxref\n%d\n%%%%EOF\n" % (trailer, len(data))
