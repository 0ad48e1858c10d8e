"""Art drawn as SVG: painted as another renderer paints it, and refused where it would act or never end."""

import io
from pathlib import Path

import cairosvg
import numpy as np
import pytest
from numpy.typing import NDArray
from PIL import Image

from lettering.errors import ImageError
from lettering.storage import svg_art
from lettering.storage.svg_art import painted
from tests.calls import calls_counted

HEAD = (
    '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" '
    'width="506mm" height="256mm" viewBox="0 0 506 256">'
)
ART = f"""<!DOCTYPE svg PUBLIC "-//W3C//DTD SVG 1.1//EN" "http://www.w3.org/Graphics/SVG/1.1/DTD/svg11.dtd">
{HEAD}<style>.hill {{ fill: #6b8f4e }}</style>
<linearGradient id="dusk" x2="0" y2="1"><stop stop-color="#e8c0a8"/><stop offset="1" stop-color="#f7e0b0"/>
</linearGradient><rect width="506" height="256" fill="url(#dusk)"/>
<g id="tree"><circle cx="60" cy="120" r="22" fill="#4c6b3c"/><path d="M56 140h8v40h-8z" fill="#553"/></g>
<use xlink:href="#tree" x="120"/><g opacity=".5"><use xlink:href="#tree" x="300" y="10"/></g>
<path class="hill" d="M0 190Q130 150 260 190T506 180V256H0Z"/></svg>"""


def pixels(png: bytes) -> NDArray[np.float64]:
    """Return a picture as sRGB values."""
    with Image.open(io.BytesIO(png)) as image:
        return np.asarray(image.convert("RGB"), float)


def test_a_drawing_is_painted_as_another_renderer_paints_it() -> None:
    """Gradients, style sheets, uses and opacity differ from CairoSVG's picture at edges only."""
    ours = pixels(painted(ART.encode(), "hill.svg", 1012))
    theirs = pixels(cairosvg.svg2png(ART.encode(), output_width=ours.shape[1], output_height=ours.shape[0]))
    difference = np.abs(ours - theirs).max(axis=2)

    assert ours.shape == (512, 1012, 3)
    assert (difference > 24).mean() < 0.004
    assert difference.mean() < 1.5


@pytest.mark.parametrize(
    "data", [ART.encode("utf-16"), b"\xef\xbb\xbf" + ART.encode()], ids=["utf-16", "bom"]
)
def test_its_encoding_does_not_matter(data: bytes) -> None:
    """Any encoding that XML 1.0 (4.3.3) lets be known by its mark gives the same pixels."""
    assert np.array_equal(pixels(painted(data, "a.svg", 253)), pixels(painted(ART.encode(), "a.svg", 253)))


def test_script_and_handlers_are_not_run_and_paint_nothing() -> None:
    """With script, handlers, animation and a script link the pixels are those without them."""
    acting = ART.replace("</svg>", "<script>throw 1</script><set attributeName='fill' to='red'/></svg>")
    acting = acting.replace("<circle", '<circle onload="alert(1)" onclick="alert(2)"')
    acting = acting.replace("<path class", '<a href="javascript:alert(3)"/><path class')

    assert np.array_equal(
        pixels(painted(acting.encode(), "a.svg", 506)), pixels(painted(ART.encode(), "a.svg", 506))
    )


LINKS = [
    '<image href="{}" width="506" height="256"/>',
    '<image xlink:href="{}" width="506" height="256"/>',
    '<use href="{}#a"/>',
    '<filter id="f"><feImage href="{}"/></filter><rect width="9" height="9" filter="url(#f)"/>',
    '<rect width="9" height="9" fill="url({}#a)"/>',
    '<style>@import "{}";</style>',
    "<style>rect {{ fill: url('{}#a') }}</style>",
]


@pytest.mark.parametrize("link", LINKS)
@pytest.mark.parametrize("scheme", ["", "file://", "relative", "http://127.0.0.1:9/", "data:image/svg+xml,"])
def test_no_other_file_is_read(tmp_path: Path, link: str, scheme: str) -> None:
    """However a drawing refers to a file or an address, it is refused and told to embed it."""
    secret = tmp_path / "secret.png"
    Image.new("RGB", (8, 8), "red").save(secret)
    target = "secret.png" if scheme == "relative" else f"{scheme}{secret}"
    text = HEAD + link.format(target) + "</svg>"

    with pytest.raises(ImageError, match="another file"):
        painted(text.encode(), "art.svg", 100)


def test_an_embedded_picture_is_painted() -> None:
    """A PNG within the drawing (RFC 2397) is seen, as other renderers show it."""
    href = (
        "data:image/png;base64,iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR4"
        "nGP4z8DwHwAFAAH/iZk9HQAAAABJRU5ErkJggg=="
    )
    text = f'{HEAD}<image href="{href}" width="506" height="256" preserveAspectRatio="none"/></svg>'

    assert pixels(painted(text.encode(), "a.svg", 100))[25, 50].tolist() == [255, 0, 0]


LAUGHS = "".join(f'<!ENTITY a{k} "{f"&a{k - 1};" * 10 if k else "ha"}">' for k in range(10))
USES = "".join(f'<g id="u{k}">{f"""<use href="#u{k - 1}"/>""" * 10}</g>' for k in range(1, 10))
CHAIN = "".join(f'<g id="c{k}"><use href="#c{k + 1}"/></g>' for k in range(3000))

ATTACKS = {
    "external entity (CWE-611)": f'<!DOCTYPE svg [<!ENTITY x SYSTEM "file:///etc/hosts">]>{HEAD}&x;</svg>',
    "entities in entities (CWE-776)": f"<!DOCTYPE svg [{LAUGHS}]>{HEAD}&a9;</svg>",
    "parameter entity": f'<!DOCTYPE svg [<!ENTITY % x SYSTEM "file:///etc/hosts"> %x;]>{HEAD}</svg>',
    "uses of uses": f'{HEAD}<g id="u0"><rect width="1" height="1"/></g>{USES}<use href="#u9"/></svg>',
    "chain of uses": f"{HEAD}{CHAIN}</svg>",
    "groups in groups": HEAD + "<g>" * 50_000 + "</g>" * 50_000 + "</svg>",
    "many elements": HEAD + "<g/>" * 300_000 + "</svg>",
    "giant and slender": '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 1e12 1"/>',
    "no size": '<svg xmlns="http://www.w3.org/2000/svg"/>',
    "not a number": '<svg xmlns="http://www.w3.org/2000/svg" width="nan" height="1e999" viewBox="0 0 . ."/>',
    "text": f"{HEAD}<text>Boo</text></svg>",
    "web page": "<html><script>alert(1)</script></html>",
    "no drawing": "\x89PNG",
    "nothing": "",
}


@pytest.mark.parametrize("name", ATTACKS)
def test_a_drawing_made_to_harm_is_refused_at_once(name: str) -> None:
    """Each known attack by XML and SVG gets a sentence for no more work than its length, in calls."""
    data = ATTACKS[name].encode()
    with calls_counted() as counted:
        with pytest.raises(ImageError):
            painted(data, "art.svg", 3000)
        work = counted()

    assert work < 1000 + 5 * len(data)


def test_a_giant_view_is_painted_at_the_size_that_is_asked_for() -> None:
    """A drawing that says it is a thousand kilometres wide takes no more pixels than any other."""
    text = '<svg xmlns="http://www.w3.org/2000/svg" width="1e9mm" height="5e8mm"><rect fill="red"/></svg>'

    assert pixels(painted(text.encode(), "a.svg", 400)).shape[0] == 200


def test_painting_that_never_ends_is_stopped(monkeypatch: pytest.MonkeyPatch) -> None:
    """A filter of more work than there is time for ends with its process, and is told."""
    monkeypatch.setattr(svg_art, "MOST_SECONDS", 1)
    filters = '<filter id="f"><feTurbulence baseFrequency="9" numOctaves="200"/></filter>'
    text = HEAD + filters + '<rect width="506" height="256" filter="url(#f)"/>' * 40 + "</svg>"

    with pytest.raises(ImageError, match="too long"):
        painted(text.encode(), "art.svg", 3000)
