"""The reading PDF: what is seen, and words to select, search and have read aloud."""

import io
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

import pikepdf
from pikepdf import Array, Dictionary, Name, Pdf, String

from lettering.drawing import Colour, Drawing, Painted
from lettering.export.pdf_paint import painted, placed, rgb
from lettering.geometry.rect import Rect
from lettering.units import mm_to_points

LETTER_WIDTH = 0.5
"""Advance of every letter of the unseen typeface, in its size: rows are stretched to their ink."""

MOST_CODES = 200
"""Characters in one unseen typeface: codes are bytes, and the lowest have other uses."""
FIRST_CODE = 33


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadRow:
    """A row of lettering as it is read."""

    text: str
    ink: Rect
    """Where it stands, mm."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadPage:
    """One page: what is seen, and what is read, in reading order."""

    drawing: Drawing
    jpeg: bytes | None
    """The art as a JPEG file in RGB, over trim and bleed; none without art."""
    jpeg_size: tuple[int, int]
    """Its columns and rows."""
    lines: tuple[tuple[ReadRow, ...], ...]
    """For each line of dialogue its rows."""
    label: str


def reading_pdf(pages: Sequence[ReadPage], *, title: str, language: str) -> bytes:
    """Return the pages as a tagged PDF with unseen text (ISO 32000-1, 9.3.6), always the same bytes."""
    pdf = Pdf.new()
    faces = _Faces(pdf, {char for page in pages for line in page.lines for row in line for char in row.text})
    whole = pdf.make_indirect(Dictionary(Type=Name.StructElem, S=Name.Document))
    parts = [_page(pdf, page, faces, whole, number) for number, page in enumerate(pages)]
    whole.K = Array([part for part, _ in parts])
    numbers = [value for k, (_, marked) in enumerate(parts) for value in (k, Array(marked))]
    root = pdf.make_indirect(
        Dictionary(
            Type=Name.StructTreeRoot,
            K=whole,
            ParentTree=pdf.make_indirect(Dictionary(Nums=Array(numbers))),
            ParentTreeNextKey=len(parts),
        )
    )
    whole.P = root
    pdf.Root.StructTreeRoot = root
    pdf.Root.MarkInfo = Dictionary(Marked=True)
    pdf.Root.Lang = String(language)
    pdf.Root.ViewerPreferences = Dictionary(DisplayDocTitle=True)
    pdf.docinfo["/Title"] = String(title)
    file = io.BytesIO()
    pdf.save(file, deterministic_id=True, object_stream_mode=pikepdf.ObjectStreamMode.disable)
    return file.getvalue()


def _page(
    pdf: Pdf, page: ReadPage, faces: "_Faces", whole: pikepdf.Object, number: int
) -> tuple[Dictionary, list[Dictionary]]:
    """Add a page; return its part of the structure, and what each marked stretch of it belongs to."""
    media = page.drawing.media
    size = [round(mm_to_points(side), 4) for side in (media.width, media.height)]
    leaf = pdf.make_indirect(Dictionary(Type=Name.Page, MediaBox=Array([0, 0, *size])))
    section = pdf.make_indirect(Dictionary(Type=Name.StructElem, S=Name.Sect, P=whole, T=String(page.label)))
    figure = Dictionary(Type=Name.StructElem, S=Name.Figure, P=section, Pg=leaf, K=0)
    figure.Alt = String(page.drawing.description)
    marked = [pdf.make_indirect(figure)]
    content = ["/Figure <</MCID 0>> BDC", *_seen(page, size), "EMC"]
    for k, line in enumerate(page.lines, 1):
        element = Dictionary(Type=Name.StructElem, S=Name.P, P=section, Pg=leaf, K=k)
        marked.append(pdf.make_indirect(element))
        content += [f"/P <</MCID {k}>> BDC", *_read(line, media, faces), "EMC"]
    section.K = Array(marked)
    resources = Dictionary(Font=faces.resources)
    if page.jpeg is not None:
        resources.XObject = Dictionary(Art=_picture(pdf, page.jpeg, page.jpeg_size))
    leaf.Resources, leaf.Contents = resources, pdf.make_stream("\n".join(content).encode("ascii"))
    leaf.StructParents, leaf.Tabs = number, Name.S
    pdf.pages.append(pikepdf.Page(leaf))
    return section, marked


def _seen(page: ReadPage, size: Sequence[float]) -> Iterator[str]:
    if page.jpeg is not None:
        yield f"q {size[0]} 0 0 {size[1]} 0 0 cm /Art Do Q"
    yield f"q {placed(page.drawing.media)}"
    yield from painted((item for item in page.drawing.items if isinstance(item, Painted)), _paint)
    yield "Q"


def _paint(colour: Colour, stroke: bool) -> str:
    return f"{rgb(colour)} {'RG' if stroke else 'rg'}"


def _picture(pdf: Pdf, jpeg: bytes, size: tuple[int, int]) -> pikepdf.Object:
    picture = pikepdf.Stream(pdf, jpeg)
    picture.Type, picture.Subtype = Name.XObject, Name.Image
    picture.Width, picture.Height, picture.BitsPerComponent = *size, 8
    picture.ColorSpace, picture.Filter = Name.DeviceRGB, Name.DCTDecode
    return pdf.make_indirect(picture)


def _read(rows: Iterable[ReadRow], media: Rect, faces: "_Faces") -> Iterator[str]:
    """Yield the operators that write rows unseen, each over its ink."""
    yield "BT 3 Tr"
    for row in rows:
        ink = row.ink
        height = mm_to_points(ink.height)
        natural = LETTER_WIDTH * height * len(row.text)
        stretch = 100 * mm_to_points(ink.width) / natural
        x, y = mm_to_points(ink.x0 - media.x0), mm_to_points(media.y1 - ink.y1)
        yield f"{stretch:.3f} Tz 1 0 0 1 {x:.3f} {y:.3f} Tm"
        # A space at the end keeps the words of two rows apart for every reader.
        for face, codes in faces.coded(row.text + " "):
            yield f"/{face} {height:.3f} Tf <{codes.hex()}> Tj"
    yield "ET"


class _Faces:
    """Typefaces whose letters draw nothing and say what they are (ISO 32000-1, 9.6.5 and 9.10.3)."""

    def __init__(self, pdf: Pdf, chars: set[str]) -> None:
        known = sorted(chars | {" "})
        self.codes = {
            char: (f"F{k // MOST_CODES}", FIRST_CODE + k % MOST_CODES) for k, char in enumerate(known)
        }
        faces = dict.fromkeys(face for face, _ in self.codes.values())
        self.resources = pdf.make_indirect(Dictionary({f"/{face}": self._face(pdf, face) for face in faces}))

    def coded(self, text: str) -> Iterator[tuple[str, bytes]]:
        """Yield stretches of `text` that one typeface has, with their codes."""
        face, codes = "", b""
        for char in text:
            own, code = self.codes[char]
            if own != face and codes:
                yield face, codes
                codes = b""
            face, codes = own, codes + bytes([code])
        if codes:
            yield face, codes

    def _face(self, pdf: Pdf, face: str) -> pikepdf.Object:
        own = {code: char for char, (name, code) in self.codes.items() if name == face}
        width = int(1000 * LETTER_WIDTH)
        blank = pdf.make_stream(f"{width} 0 d0".encode("ascii"))
        names = [Name(f"/c{code}") for code in own]
        unicode = pdf.make_stream(_to_unicode(own).encode("ascii"))
        return pdf.make_indirect(
            Dictionary(
                Type=Name.Font,
                Subtype=Name.Type3,
                FontBBox=[0, 0, width, 1000],
                FontMatrix=[0.001, 0, 0, 0.001, 0, 0],
                FirstChar=min(own),
                LastChar=max(own),
                Widths=[width] * len(own),
                Encoding=Dictionary(Type=Name.Encoding, Differences=Array([min(own), *names])),
                CharProcs=Dictionary({str(name): blank for name in names}),
                Resources=Dictionary(),
                ToUnicode=unicode,
            )
        )


def _to_unicode(codes: dict[int, str]) -> str:
    """Return the map from codes to characters."""
    rows = [f"<{code:02x}> <{char.encode('utf-16-be').hex()}>" for code, char in codes.items()]
    blocks = [rows[k : k + 100] for k in range(0, len(rows), 100)]
    listed = "\n".join(f"{len(b)} beginbfchar\n" + "\n".join(b) + "\nendbfchar" for b in blocks)
    return (
        "/CIDInit /ProcSet findresource begin 12 dict begin begincmap\n"
        "/CMapName /Unseen def /CMapType 2 def\n"
        "1 begincodespacerange <00> <ff> endcodespacerange\n"
        f"{listed}\nendcmap end end"
    )
