"""Whether lettering stands out from what is under it: WCAG 2.2."""

from collections.abc import Iterator

from lettering.checks.catalogue import finding
from lettering.checks.finding import Finding
from lettering.drawing import Colour
from lettering.setting.reading_age import ReadingBand


def relative_luminance(colour: Colour) -> float:
    """Return the relative luminance, 0 black to 1 white, as WCAG 2.2 defines it for sRGB."""
    red, green, blue = (_linear(part / 255) for part in (colour.red, colour.green, colour.blue))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def _linear(part: float) -> float:
    return part / 12.92 if part <= 0.04045 else float(((part + 0.055) / 1.055) ** 2.4)


def contrast(one: Colour, other: Colour) -> float:
    """Return the contrast ratio of two colours, 1 to 21, as WCAG 2.2 defines it."""
    darker, lighter = sorted((relative_luminance(one), relative_luminance(other)))
    return (lighter + 0.05) / (darker + 0.05)


def check_contrast(where: str, ink: Colour, ground: Colour, band: ReadingBand) -> Iterator[Finding]:
    """Yield a finding when lettering in `ink` does not stand out from `ground` enough for its readers."""
    ratio = contrast(ink, ground)
    if ratio < band.contrast:
        yield finding(
            "contrast",
            where,
            f"the lettering stands out only {ratio:.1f} to 1. Darken it or lighten what is under it.",
            ratio,
            band.contrast,
            f"WCAG 2.2, contrast ratio; {band.sources.get('contrast', 'house default')}",
        )
