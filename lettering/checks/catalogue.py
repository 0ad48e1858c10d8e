"""Every check there is: its code, what it asks, how much it matters, and where that comes from."""

from dataclasses import dataclass

from lettering.checks.finding import Finding, Severity

TRADE = "common practice, no source"
HOUSE = "house default"
WHOLE_BOOK = "the book"
"""Where a finding is that concerns no spread alone."""
TABLE = "reading-age table"
MANUSCRIPT = "manuscript"


@dataclass(frozen=True, slots=True)
class Check:
    """One entry of the catalogue."""

    code: str
    severity: Severity
    sentence: str
    """What must be so."""
    source: str
    """Where the wanted value comes from, unless a finding names its own figure's source."""
    unit: str
    """Unit of the measured and of the wanted value."""


_ALL = (
    Check("size", "error", "The x-height is at least what the reader's age needs.", TABLE, "mm"),
    Check("size-wanted", "warning", "The x-height reaches what suits the reader's age.", TABLE, "mm"),
    Check("one-size", "warning", "Plain lettering has one size through the book.", TRADE, "mm"),
    Check(
        "capitals",
        "warning",
        "The hand has small letters: capitals alone are read more slowly.",
        HOUSE,
        "letters",
    ),
    Check("pitch", "warning", "Rows are as far apart as the reader's age needs.", TABLE, "x-heights"),
    Check("row-words", "warning", "No row has more words than the reader's age takes in.", TABLE, "words"),
    Check(
        "row-characters", "warning", "No row is longer than the reader's age takes in.", TABLE, "characters"
    ),
    Check(
        "bubble-words", "warning", "No bubble has more words than the reader's age takes in.", TABLE, "words"
    ),
    Check("bubble-rows", "warning", "No bubble has more rows than the reader's age takes in.", TABLE, "rows"),
    Check("contrast", "error", "Lettering stands out from its ground.", "WCAG 2.2, contrast ratio", "ratio"),
    Check("words", "error", "The rows carry exactly the words of the book.", HOUSE, "letters"),
    Check("missing", "error", "The hand has every character of the words.", HOUSE, "characters"),
    Check("collide", "error", "No letter runs into another.", TRADE, "mm²"),
    Check("rows-near", "warning", "Descenders stay clear of the row below.", TRADE, "mm"),
    Check("same-take", "warning", "Neighbouring equal letters are different drawings.", TRADE, "drawings"),
    Check("thin-line", "warning", "No line is thinner than half a point.", TRADE, "mm"),
    Check("safe", "error", "Lettering and bubbles stay inside the safe area.", TRADE, "mm"),
    Check("gutter", "error", "Lettering and bubbles stay off the gutter.", TRADE, "mm"),
    Check("figure", "error", "No bubble covers a character.", TRADE, "mm²"),
    Check("keep-clear", "error", "No bubble covers a place to keep clear.", TRADE, "mm²"),
    Check("overlap", "error", "Bubbles stay clear of each other.", TRADE, "mm²"),
    Check("order", "error", "It is plain which bubble is read next.", HOUSE, "mm"),
    Check("tail-missing", "error", "Every speaker's bubble has a tail.", TRADE, "tails"),
    Check("tail-aim", "error", "A tail points at its speaker's mouth.", HOUSE, "degrees"),
    Check("tail-nearest", "warning", "A tail ends nearer to its speaker than to others.", TRADE, "mm"),
    Check("tail-face", "error", "No tail touches a face.", TRADE, "mm"),
    Check("tail-crosses", "error", "A tail crosses no other bubble, tail or character.", TRADE, "mm²"),
    Check("tail-fold", "warning", "No tail crosses the gutter.", TRADE, "mm"),
    Check("tangent", "warning", "Outlines stay clearly away from what they pass.", TRADE, "mm"),
    Check("voices-alike", "warning", "Bubbles of one voice have the same line and air.", TRADE, "mm"),
    Check("spread-words", "warning", "No spread says far more than the others.", HOUSE, "words"),
    Check("heights", "warning", "Figures are as tall beside each other as the cast says.", HOUSE, "heights"),
    Check(
        "cast-order",
        "warning",
        "The cast stands in the order in which its members first speak.",
        HOUSE,
        "members",
    ),
    Check("art-resolution", "warning", "Art has at least 300 pixels an inch at print size.", TRADE, "ppi"),
    Check("art-bleed", "error", "Art covers the trim and its bleed without being stretched.", TRADE, "%"),
    Check("manuscript-missing", "error", "Every line of the manuscript is in the book.", MANUSCRIPT, "lines"),
    Check(
        "manuscript-added",
        "warning",
        "The book says nothing that is not in the manuscript.",
        MANUSCRIPT,
        "lines",
    ),
    Check("manuscript-words", "error", "The words are those of the manuscript.", MANUSCRIPT, "letters"),
    Check("manuscript-letter", "warning", "No word is a letter off the manuscript.", MANUSCRIPT, "letters"),
    Check("manuscript-speaker", "error", "Those speak who speak in the manuscript.", MANUSCRIPT, "speakers"),
    Check("manuscript-order", "error", "Lines follow each other as in the manuscript.", MANUSCRIPT, "lines"),
    Check("accept-unused", "note", "Every accepted finding is still found.", HOUSE, "findings"),
    Check("no-clean-layout", "error", "Every hard rule can be kept on the spread.", HOUSE, "rules"),
    Check("not-proven", "note", "The layout is proven to be the best of its candidates.", HOUSE, "cost"),
)

CATALOGUE = {check.code: check for check in _ALL}
"""Every check by its code."""


def finding(
    code: str,
    where: str,
    message: str,
    measured: float | None = None,
    wanted: float | None = None,
    source: str | None = None,
) -> Finding:
    """Return the finding of the check `code`, with what the catalogue says of it."""
    check = CATALOGUE[code]
    return Finding(
        code=code,
        severity=check.severity,
        where=where,
        message=message,
        measured=None if measured is None else round(measured, 3),
        wanted=None if wanted is None else round(wanted, 3),
        unit=check.unit,
        source=source or check.source,
    )
