"""The press PDF: lettering on the black plate alone, structured to PDF/X-4 (ISO 15930-7); not certified.

Black that overprints is `0 0 0 1 k` with overprint mode 1 (ISO 32000-1, 8.6.7): what lies under it on the
other plates stays. White knocks out. Nothing is text, nothing is RGB but art that carries its profile.
"""

import hashlib
import io
import uuid
from collections.abc import Sequence
from dataclasses import dataclass
from xml.sax.saxutils import escape

import pikepdf
from pikepdf import Array, Dictionary, Name, Pdf, String

from lettering.drawing import BLACK, Colour, Drawing, Painted
from lettering.export.condition import Profile
from lettering.export.pdf_paint import Paint, cmyk, painted, placed
from lettering.units import mm_to_points

SPOT = "Lettering"
"""Name of the plate of its own on which lettering may go."""

DATED = "2000-01-01T00:00:00+00:00"
"""The same input gives the same bytes, so the file carries no clock."""

OVER, KNOCK = "/Over", "/Knock"


@dataclass(frozen=True, slots=True, kw_only=True)
class PressArt:
    """The art under one drawing, printed over trim and bleed."""

    columns: int
    rows: int
    data: bytes
    """A JPEG file, or 8-bit values row by row, packed by zlib."""
    jpeg: bool
    colours: int
    """1 grey, 3 RGB, 4 CMYK."""
    profile: bytes | None
    """Its ICC profile; none for CMYK of the printing condition itself."""


def press_pdf(
    drawings: Sequence[Drawing],
    condition: Profile,
    *,
    title: str,
    art: Sequence[PressArt | None] = (),
    spot: bool = False,
    program: str = "lettering",
) -> bytes:
    """Return drawings as a PDF for the press, a page each, the same bytes for the same input.

    Layers are optional content. With `spot` black lettering goes on a plate of its own instead of black.
    """
    pdf = Pdf.new()
    page_maker = _Pages(pdf, spot)
    under = art or [None] * len(drawings)
    for drawing, picture in zip(drawings, under, strict=True):
        page_maker.add(drawing, picture)
    page_maker.finish()
    _intend(pdf, condition)
    _describe(pdf, title, program)
    return _saved(pdf)


class _Pages:
    """The pages of one file, and the layers and states that they share."""

    def __init__(self, pdf: Pdf, spot: bool) -> None:
        self.pdf, self.spot = pdf, spot
        self.layers: dict[str, pikepdf.Object] = {}
        self.profiles: dict[bytes, pikepdf.Object] = {}
        black = Dictionary(Type=Name.ExtGState, OP=True, op=True, OPM=1, SA=True)
        clear = Dictionary(Type=Name.ExtGState, OP=False, op=False, OPM=0)
        self.states = pdf.make_indirect(Dictionary({OVER: black, KNOCK: clear}))
        tint = Dictionary(FunctionType=2, Domain=[0, 1], C0=[0, 0, 0, 0], C1=[0, 0, 0, 1], N=1)
        self.own_plate = pdf.make_indirect(
            Array([Name.Separation, Name("/" + SPOT), Name.DeviceCMYK, pdf.make_indirect(tint)])
        )

    def add(self, drawing: Drawing, art: PressArt | None) -> None:
        """Add a page for `drawing`, with its art when there is one."""
        parts: list[str] = []
        names: dict[str, pikepdf.Object] = {}
        pictures: dict[str, pikepdf.Object] = {}
        if art is not None:
            names["/L0"], pictures["/Art"] = self._layer("Art"), self._picture(art)
            width, height = (mm_to_points(s) for s in (drawing.media.width, drawing.media.height))
            parts.append(f"/OC /L0 BDC q {KNOCK} gs {width:.4f} 0 0 {height:.4f} 0 0 cm /Art Do Q EMC")
        parts += ["q", placed(drawing.media)]
        for k, layer in enumerate(drawing.layers, 1):
            names[f"/L{k}"] = self._layer(layer.title)
            own = self.spot and layer.id == "lettering"
            items = [i for g in layer.groups for i in g.items if isinstance(i, Painted)]
            parts += [f"/OC /L{k} BDC", *painted(items, _paint(own)), "EMC"]
        parts.append("Q")
        resources = Dictionary(ExtGState=self.states, Properties=Dictionary(names))
        if self.spot:
            resources.ColorSpace = Dictionary(Own=self.own_plate)
        if pictures:
            resources.XObject = Dictionary(pictures)
        page = self.pdf.make_indirect(
            Dictionary(
                Type=Name.Page,
                Resources=resources,
                Contents=self.pdf.make_stream("\n".join(parts).encode("ascii")),
                Group=Dictionary(S=Name.Transparency, CS=Name.DeviceCMYK, I=True),
            )
        )
        for name, box in _boxes(drawing).items():
            page[name] = box
        self.pdf.pages.append(pikepdf.Page(page))

    def _layer(self, title: str) -> pikepdf.Object:
        if title not in self.layers:
            group = Dictionary(Type=Name.OCG, Name=String(title))
            self.layers[title] = self.pdf.make_indirect(group)
        return self.layers[title]

    def _picture(self, art: PressArt) -> pikepdf.Object:
        space: pikepdf.Object = {1: Name.DeviceGray, 3: Name.DeviceRGB, 4: Name.DeviceCMYK}[art.colours]
        if art.profile is not None:
            if art.profile not in self.profiles:
                stream = self.pdf.make_stream(art.profile, N=art.colours)
                self.profiles[art.profile] = self.pdf.make_indirect(Array([Name.ICCBased, stream]))
            space = self.profiles[art.profile]
        picture = pikepdf.Stream(self.pdf, art.data)
        picture.Type, picture.Subtype = Name.XObject, Name.Image
        picture.Width, picture.Height, picture.BitsPerComponent = art.columns, art.rows, 8
        picture.ColorSpace = space
        picture.Filter = Name.DCTDecode if art.jpeg else Name.FlateDecode
        return self.pdf.make_indirect(picture)

    def finish(self) -> None:
        """List the layers in the file: all of them are shown."""
        groups = Array(list(self.layers.values()))
        shown = Dictionary(Name=String("All layers"), Order=groups, ON=groups, BaseState=Name.ON)
        self.pdf.Root.OCProperties = Dictionary(OCGs=groups, D=shown)


def _paint(own_plate: bool) -> Paint:
    """Return how colours are chosen: black overprints, perhaps on a plate of its own; all else knocks out."""

    def chosen(colour: Colour, stroke: bool) -> str:
        if colour != BLACK:
            return f"{KNOCK} gs {cmyk(colour)} {'K' if stroke else 'k'}"
        if own_plate:
            return f"{OVER} gs /Own {'CS 1 SCN' if stroke else 'cs 1 scn'}"
        return f"{OVER} gs 0 0 0 1 {'K' if stroke else 'k'}"

    return chosen


def _boxes(drawing: Drawing) -> dict[str, Array]:
    width, height = (round(mm_to_points(s), 4) for s in (drawing.media.width, drawing.media.height))
    bleed = round(mm_to_points(drawing.bleed_mm), 4)
    whole = [0, 0, width, height]
    trim = [bleed, bleed, round(width - bleed, 4), round(height - bleed, 4)]
    return {"/MediaBox": Array(whole), "/BleedBox": Array(whole), "/TrimBox": Array(trim)}


def _intend(pdf: Pdf, condition: Profile) -> None:
    stream = pdf.make_stream(condition.data, N=4)
    intent = Dictionary(
        Type=Name.OutputIntent,
        S=Name.GTS_PDFX,
        OutputConditionIdentifier=String(condition.registered or "Custom"),  # ISO 32000-1, table 365
        OutputCondition=String(condition.name),
        Info=String(condition.name),
        DestOutputProfile=stream,
    )
    if condition.registered:
        intent.RegistryName = String("http://www.color.org")
    pdf.Root.OutputIntents = Array([pdf.make_indirect(intent)])


def _describe(pdf: Pdf, title: str, program: str) -> None:
    """Write the file's facts twice, as PDF/X-4 wants them: in XMP and in the Info dictionary."""
    digest = hashlib.sha256()
    for page in pdf.pages:
        digest.update(page.obj.Contents.read_bytes())
    own = uuid.uuid5(uuid.NAMESPACE_OID, digest.hexdigest())
    xmp = _XMP.format(title=escape(title), program=escape(program), date=DATED, own=own)
    stream = pdf.make_stream(xmp.encode("utf-8"), Type=Name.Metadata, Subtype=Name.XML)
    pdf.Root.Metadata = stream
    date = String("D:20000101000000+00'00'")
    pdf.docinfo["/Title"], pdf.docinfo["/Creator"] = String(title), String(program)
    pdf.docinfo["/Producer"], pdf.docinfo["/CreationDate"] = String(program), date
    pdf.docinfo["/ModDate"], pdf.docinfo["/Trapped"] = date, Name("/False")
    pdf.docinfo["/GTS_PDFXVersion"] = String("PDF/X-4")


_XMP = """<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>
<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/"
 xmlns:xmp="http://ns.adobe.com/xap/1.0/" xmlns:xmpMM="http://ns.adobe.com/xap/1.0/mm/"
 xmlns:pdf="http://ns.adobe.com/pdf/1.3/" xmlns:pdfxid="http://www.npes.org/pdfx/ns/id/">
<dc:format>application/pdf</dc:format>
<dc:title><rdf:Alt><rdf:li xml:lang="x-default">{title}</rdf:li></rdf:Alt></dc:title>
<xmp:CreatorTool>{program}</xmp:CreatorTool><xmp:CreateDate>{date}</xmp:CreateDate>
<xmp:ModifyDate>{date}</xmp:ModifyDate><xmp:MetadataDate>{date}</xmp:MetadataDate>
<xmpMM:DocumentID>uuid:{own}</xmpMM:DocumentID><xmpMM:InstanceID>uuid:{own}</xmpMM:InstanceID>
<xmpMM:RenditionClass>default</xmpMM:RenditionClass><xmpMM:VersionID>1</xmpMM:VersionID>
<pdf:Producer>{program}</pdf:Producer><pdf:Trapped>False</pdf:Trapped>
<pdfxid:GTS_PDFXVersion>PDF/X-4</pdfxid:GTS_PDFXVersion>
</rdf:Description></rdf:RDF></x:xmpmeta>
<?xpacket end="r"?>"""


def _saved(pdf: Pdf) -> bytes:
    file = io.BytesIO()
    pdf.save(
        file,
        deterministic_id=True,
        force_version="1.6",
        object_stream_mode=pikepdf.ObjectStreamMode.disable,
        compress_streams=True,
        normalize_content=False,
    )
    return file.getvalue()
