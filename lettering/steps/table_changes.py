"""How a book on the table changes: only the spreads that a change touches are laid out anew.

book = with_text(book, text)            # after an edit of the book file
book = with_spread(book, 3, finished)   # one spread as the hand left it
book = settled(book, 3)                 # its free lines settled round the held ones
"""

from dataclasses import replace

from lettering.book.book import Book
from lettering.checks.finding import Finding
from lettering.checks.finished import FinishedLine, FinishedSpread
from lettering.errors import LetteringError
from lettering.hand.edited import changed_letters
from lettering.hand.hands import Hands
from lettering.placing.former import FormerSpread, match_spreads
from lettering.setting.reading_age import band_for
from lettering.steps.bench import Bench
from lettering.steps.hands import found_hands
from lettering.steps.lacking import busy, lacking
from lettering.steps.laid_out import lay_out
from lettering.steps.on_table import OnTable, asked, former_lines, laid_from
from lettering.steps.place import to_keep
from lettering.steps.progress import Progress, silent
from lettering.storage.book_file import book_of
from lettering.storage.placements import placements_of, placements_path, placements_text


def with_text(state: OnTable, text: str, *, progress: Progress = silent) -> OnTable:
    """Return the book after an edit of its file: spreads that changed are laid out anew, the others stay.

    Raises BookError when `text` is no book file.
    """
    book = book_of(text.encode(), str(state.path), unfinished=True).book
    if _frame_of(book) != _frame_of(state.book) or len(book.spreads) != len(state.book.spreads):
        return laid_from(state.path, text, state.placements, before=state, progress=progress)
    changed = [i for i, spread in enumerate(book.spreads) if spread != state.book.spreads[i]]
    other = _in_other_hands(state.book, book)
    every = sorted({*changed, *other})
    after = replace(_with_hands_of(state, book), text=text, book=book, former=state.kept)
    for done, index in enumerate(every):
        progress("setting the lines again", done, len(every))
        after = _with_one(after, index)
        if index in other and (laid := after.spreads[index]) and laid.placed.broken:
            after = settled(after, index)
    progress("setting the lines again", len(every), len(every))
    return after


def restored(state: OnTable, text: str, placements: str) -> OnTable:
    """Return the book as it is in `text` and `placements`; only spreads that differ are laid out anew.

    Raises BookError and LetteringError when they cannot be read.
    """
    book = book_of(text.encode(), str(state.path), unfinished=True).book
    former = placements_of(placements.encode(), str(placements_path(state.path))) if placements else ()
    pairs = zip(match_spreads(book.spreads, former), match_spreads(book.spreads, state.kept), strict=True)
    other = [i for i, (was, now) in enumerate(pairs) if _as_kept(was) != _as_kept(now)]
    alike = _frame_of(book) == _frame_of(state.book) and len(book.spreads) == len(state.book.spreads)
    if not alike or 2 * len(other) > len(book.spreads) > 1:
        return laid_from(state.path, text, placements, before=state)
    changed = [i for i, spread in enumerate(book.spreads) if spread != state.book.spreads[i]]
    after = replace(_with_hands_of(state, book), text=text, book=book, former=former)
    for index in sorted({*changed, *other, *_in_other_hands(state.book, book)}):
        bare = (*after.spreads[:index], None, *after.spreads[index + 1 :])
        after = _with_one(replace(after, spreads=bare), index)
    return after


def in_its_hands(state: OnTable) -> OnTable:
    """Return the book in its hands as they are on disk now.

    Where letters were changed only the spreads that show one of them are laid out anew; lines stay where they
    are. The whole book is where a hand came, went, changed its measures or knows other characters.
    """
    (hands, troubles), was = found_hands(state.book, state.path.parent), state.hands
    if was is None or hands is None or troubles != state.troubles:
        changed = None
    else:
        changed = _changed_letters(was, hands)
    if was is None or changed is None:
        return laid_from(state.path, state.text, state.placements, before=state)
    after = replace(state, hands=hands, former=state.kept)
    for index, done in enumerate(state.spreads):
        if done and any(_letters(one) & changed[id(was.of(one.line))] for one in done.lines):
            after = _with_one(after, index)
    return after


def _changed_letters(was: Hands, hands: Hands) -> dict[int, frozenset[str]] | None:
    """Return by the identity of each hand which of its letters look otherwise; none where all may."""
    if was.others.keys() != hands.others.keys():
        return None
    pairs = [(was.own, hands.own), *((hand, hands.others[key]) for key, hand in was.others.items())]
    changed = {id(before): changed_letters(before, after) for before, after in pairs}
    known = {key: letters for key, letters in changed.items() if letters is not None}
    return known if len(known) == len(changed) else None


def _letters(line: FinishedLine) -> set[str]:
    """Return what the letters of a line draw."""
    return {glyph.char for row in line.stack.rows for glyph in row.glyphs}


def with_spread(state: OnTable, index: int, finished: FinishedSpread) -> OnTable:
    """Return the book with one spread as it was left."""
    spreads = (*state.spreads[:index], finished, *state.spreads[index + 1 :])
    return replace(state, spreads=spreads)


def settled(state: OnTable, index: int, *, afresh: bool = False) -> OnTable:
    """Return the book with the free lines of a spread settled round those that are held.

    They stay where that breaks no rule; `afresh` each is placed again, near where it was.
    """
    finished = _finished(state, index)
    former = to_keep([finished])[0].lines
    spread, bench = finished.spread, state.bench
    detail = busy(state.book, spread, state.path.parent, dict(state.details))
    kept = lay_out(bench, spread, former, detail)
    if afresh or kept.placed.broken:
        free = replace(bench, stay=False)
        kept = lay_out(free, spread, [one if one.held or not afresh else None for one in former], detail)
    return with_spread(state, index, kept)


def at_age(state: OnTable, index: int, age: tuple[int, int]) -> tuple[OnTable, tuple[Finding, ...]]:
    """Return the book as readers of another `age` would want a spread, and the findings for them.

    The lettering has the size that their age wants; nothing is kept.
    """
    finished, band = _finished(state, index), band_for(age)
    book = replace(state.book, reader_age=age)
    size = book.x_height_mm or band.x_target
    bench = Bench(book=book, hands=state.bench.hands, band=band, x_height_mm=size, stay=False)
    detail = busy(book, finished.spread, state.path.parent, dict(state.details))
    spread = lay_out(bench, finished.spread, to_keep([finished])[0].lines, detail)
    seen = replace(with_spread(state, index, spread), book=book, x_height_mm=size)
    only = replace(seen, spreads=tuple(spread if i == index else None for i in range(len(state.spreads))))
    return seen, asked(only).findings


def _finished(state: OnTable, index: int) -> FinishedSpread:
    finished = state.spreads[index] if 0 <= index < len(state.spreads) else None
    if finished is None:
        lacks = " ".join(state.lacks[index]) if 0 <= index < len(state.lacks) else "There is no such spread."
        raise LetteringError("this spread is not lettered yet.", hint=lacks)
    return finished


def _with_one(state: OnTable, index: int) -> OnTable:
    """Return the book with spread `index` laid out anew where nothing is lacking."""
    spread, base = state.book.spreads[index], state.path.parent
    lack = tuple(lacking(state.book, spread, state.hands, state.troubles, base))
    done = state.spreads[index]
    if not lack:
        kept = to_keep([done])[0] if done else match_spreads(state.book.spreads, state.former)[index]
        details = dict(state.details)
        detail = busy(state.book, spread, base, details)
        state = replace(state, details=details)
        done = lay_out(state.bench, spread, former_lines(spread, kept), detail)
    return replace(
        state,
        spreads=(*state.spreads[:index], None if lack else done, *state.spreads[index + 1 :]),
        lacks=(*state.lacks[:index], lack, *state.lacks[index + 1 :]),
    )


def _as_kept(was: FormerSpread | None) -> str:
    """Return a spread's placements as they are written, for they are rounded then."""
    return placements_text([was] if was else [])


def _frame_of(book: Book) -> tuple[object, ...]:
    """Return all of a book that every spread depends on."""
    return (book.page, book.hand, book.language, book.reader_age, book.x_height_mm)


def _own_hands(book: Book) -> dict[str, str]:
    return {one.key: one.hand for one in book.cast if one.hand is not None}


def _with_hands_of(state: OnTable, book: Book) -> OnTable:
    """Return the book on the table with the hands that `book` gives its cast, read where they are others."""
    if _own_hands(book) == _own_hands(state.book):
        return state
    hands, troubles = found_hands(book, state.path.parent)
    return replace(state, hands=hands, troubles=troubles)


def _in_other_hands(before: Book, after: Book) -> list[int]:
    """Return the indices of the spreads on which a line is set in another hand than before."""
    if _own_hands(before) == _own_hands(after):
        return []
    return [
        index
        for index, spread in enumerate(after.spreads)
        if any(after.hand_of(line) != before.hand_of(line) for line in spread.lines)
    ]
