"""The layout as plain data, for other programs and for checks from outside."""

import json
import sys
from pathlib import Path
from typing import Any

from lettering.bubbles.bubble import Tail
from lettering.checks.finding import Finding
from lettering.checks.finished import FinishedLine, FinishedSpread
from lettering.geometry.contour import Contour
from lettering.geometry.rect import Rect
from lettering.steps.laid_out import LaidOut
from lettering.steps.summary import as_plain, summary
from lettering.storage.atomic import write_text

FLATNESS_MM = 0.02
"""Farthest a written polygon lies from the drawn curve; the format promises 0.05 mm."""

Plain = dict[str, Any]


def layout(result: LaidOut) -> Plain:
    """Return the whole layout, its findings and its summary as JSON values, mm, y down."""
    return {
        "format": "lettering-layout",
        "version": 1,
        "unit": "mm",
        "spreads": [_spread(spread) for spread in result.spreads],
        "findings": [_finding(finding) for finding in result.findings],
        "summary": as_plain(summary(result)),
    }


def write_layout(result: LaidOut, to: str) -> None:
    """Write the layout to a file, or to standard output when `to` is '-'; raises OutputError."""
    text = json.dumps(layout(result), ensure_ascii=False, indent=1) + "\n"
    if to == "-":
        sys.stdout.write(text)
    else:
        write_text(Path(to), text)


def _spread(finished: FinishedSpread) -> Plain:
    return {
        "pages": list(finished.spread.pages),
        "trim": _box(finished.frame.trim),
        "fold": finished.frame.fold_x,
        "lines": [_line(line) for line in finished.lines],
        "score": round(finished.placed.score, 6),
        "bound": round(finished.placed.bound, 6),
    }


def _line(finished: FinishedLine) -> Plain:
    bubble = finished.bubble
    return {
        "line": finished.number,
        "who": list(finished.line.who),
        "voice": finished.line.voice,
        "says": finished.line.says,
        "rows": [row.text for row in finished.stack.rows],
        "x_height": round(finished.stack.x_height_mm, 4),
        "ink": [_box(glyph.ink) for glyph in finished.stack.glyphs],
        "body": _polygon(bubble.body) if bubble else [],
        "tails": [_polygon(part) for tail in bubble.tails for part in _parts(tail)] if bubble else [],
        "tips": [[_mm(tail.tip.x), _mm(tail.tip.y)] for tail in bubble.tails] if bubble else [],
        "held": finished.placement.held,
    }


def _parts(tail: Tail) -> tuple[Contour, ...]:
    """Return the closed outlines that a tail consists of, tip first: a thought has several."""
    return (tail.outline, *reversed(tail.puffs))


def _finding(finding: Finding) -> Plain:
    return {
        "code": finding.code,
        "severity": finding.severity,
        "where": finding.where,
        "measured": finding.measured,
        "wanted": finding.wanted,
        "unit": finding.unit,
        "source": finding.source,
        "message": finding.message,
        "accepted": finding.accepted,
    }


def _polygon(contour: Contour) -> list[list[float]]:
    flat: list[list[float]] = contour.flattened(FLATNESS_MM).round(3).tolist()
    return flat


def _box(rect: Rect) -> list[float]:
    return [_mm(rect.x0), _mm(rect.y0), _mm(rect.x1), _mm(rect.y1)]


def _mm(value: float) -> float:
    return round(value, 3)
