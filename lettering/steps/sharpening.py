"""What a camera, scanner or screen did to the light of a page, undone before anything else is done to it."""

from lettering.capture.ink.painted import as_photographed
from lettering.capture.ink.specimens import specimens
from lettering.capture.ink.unsharpened import unsharpened
from lettering.capture.page import PageImage
from lettering.outlines.sample import Sample
from lettering.outlines.sharpening import mask_of


def as_paper_sent(page: PageImage) -> PageImage:
    """Return the picture with the light that its paper sent: one from a screen as if photographed."""
    seen = as_photographed(page)
    return seen if seen is not page else without_sharpening(page)


def without_sharpening(page: PageImage) -> PageImage:
    """Return the picture as it was before a phone or scanner sharpened it; as it is when none did."""
    seen = [Sample(coverage=s.coverage, noise=s.noise, tone=s.tone) for s in specimens(page)]
    mask = mask_of(seen)
    return page if mask is None else unsharpened(page, mask.undone, in_light=not mask.encoded)
