"""What a typeface does by itself: takes take turns, pairs are drawn together, lettered words stand whole.

The OpenType tables are built directly. Written as feature text, each rule would name every glyph that may
stand between two uses of a character, and compiling a hand of five hundred takes would last a minute.
Structure: OpenType 1.9, GSUB lookup types 1, 4 and 6.
"""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from fontTools.otlLib.builder import (
    buildCoverage,
    buildLigatureSubstSubtable,
    buildLookup,
    buildSingleSubstSubtable,
)
from fontTools.ttLib import newTable
from fontTools.ttLib.tables import otTables

from lettering.hand.alternation import KINDS, WINDOW

Names = tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Turns:
    """What is substituted for what, by glyph names."""

    turning: Sequence[Names]
    """Of every character or pair with several takes its glyphs, in turn."""
    kinds: Mapping[str, tuple[int, int]]
    """Of every glyph the kinds that its first and its last letter are as neighbours (`alternation.kind`)."""
    pairs: Mapping[Names, str] = field(default_factory=dict)
    """Glyphs that are one drawing, and its glyph."""
    words: Mapping[Names, str] = field(default_factory=dict)
    """Glyphs of whole words, and the glyph of each."""
    letters: Collection[str] = ()
    """Glyphs that make a word longer when they stand beside it."""


def substitutions(turns: Turns, ids: Mapping[str, int]) -> Any:
    """Return a GSUB table with the features `dlig` (whole words), `liga` (pairs) and `calt` (turns).

    `ids` has the number of every glyph in the typeface.

    First whole words, where they are asked for; then pairs. Then each character begins with the take that its
    neighbours decide, and one lookup a character, run from left to right, sets the next in turn after the
    nearest earlier take within WINDOW glyphs: what `hand.alternation` does.
    """
    most = max(map(len, turns.turning), default=1)
    lookups = [_swap(turns.turning, turn) for turn in range(most)] if most > 1 else []
    features: dict[str, list[int]] = {}
    if turns.words:
        sizes = sorted({len(word) for word in turns.words}, reverse=True)
        inner = {size: len(lookups) + i for i, size in enumerate(sizes)}
        lookups += [[_ligatures({w: g for w, g in turns.words.items() if len(w) == n})] for n in sizes]
        features["dlig"] = [len(lookups)]
        lookups.append(list(_bounded(inner, turns.letters, ids)))
    if turns.pairs:
        features["liga"] = [len(lookups)]
        lookups.append([_ligatures(turns.pairs)])
    if most > 1:
        sets = {size: _next_in_turn(size) for size in set(map(len, turns.turning))}
        features["calt"] = list(range(len(lookups), len(lookups) + 1 + len(turns.turning)))
        lookups.append([_begin(turns, ids)])
        lookups += [[_turn(glyphs, sets[len(glyphs)], ids)] for glyphs in turns.turning]
    gsub = otTables.GSUB()
    gsub.Version = 0x00010000
    gsub.LookupList = otTables.LookupList()
    gsub.LookupList.Lookup = [buildLookup(subtables) for subtables in lookups]
    gsub.LookupList.LookupCount = len(lookups)
    gsub.FeatureList = _features(features)
    gsub.ScriptList = _scripts(len(features))
    table = newTable("GSUB")
    table.table = gsub
    return table


def _swap(turning: Sequence[Names], turn: int) -> list[Any]:
    """Return the substitution of every take by the one of its character whose turn it is."""
    swapped = {glyph: names[turn] for names in turning if len(names) > turn for glyph in names}
    return [buildSingleSubstSubtable(swapped)]


def _ligatures(joined: Mapping[Names, str]) -> Any:
    return buildLigatureSubstSubtable(dict(joined))


def _bounded(inner: Mapping[int, int], letters: Collection[str], ids: Mapping[str, int]) -> Iterator[Any]:
    """Yield contexts in which only a whole run of letters becomes a word; `inner` has lookups by length.

    Longer runs are tried first, so a run of n letters that gets to the n-th context is no longer than n.
    """
    covered = buildCoverage(letters, ids)
    yield _context(1, covered, before=[covered])
    for size in range(max(inner) + 1, 1, -1):
        yield _context(size, covered, before=[], lookup=inner.get(size))


def _context(size: int, letters: Any, *, before: list[Any], lookup: int | None = None) -> Any:
    """Return a context of `size` letters; without a lookup it keeps what stands there as it is."""
    chain = otTables.ChainContextSubst()
    chain.Format = 3
    chain.BacktrackCoverage = before
    chain.InputCoverage = [letters] * size
    chain.LookAheadCoverage = []
    chain.BacktrackGlyphCount, chain.InputGlyphCount, chain.LookAheadGlyphCount = len(before), size, 0
    chain.SubstLookupRecord = [] if lookup is None else [_at_first(lookup)]
    chain.SubstCount = len(chain.SubstLookupRecord)
    return chain


def _begin(turns: Turns, ids: Mapping[str, int]) -> Any:
    """Return the rules by which neighbours decide the first take of a character; glyphs classed by kind."""
    sizes = sorted(set(map(len, turns.turning)))
    first = {names[0]: 1 + sizes.index(len(names)) for names in turns.turning}
    before = {glyph: last for glyph, (_, last) in turns.kinds.items() if last}
    after = {glyph: start for glyph, (start, _) in turns.kinds.items() if start}
    return _by_class(first, before, after, ids, [_set(_first_take(size)) for size in sizes])


def _first_take(size: int) -> Iterator[Any]:
    """Yield the rules of a character of `size` takes, those that know more of its neighbours first."""
    kinds = range(KINDS)
    for left in kinds:
        yield from (_rule([left], [right], (left + right) % size) for right in kinds)
    yield from (_rule([left], [], left % size) for left in kinds)
    yield from (_rule([], [right], right % size) for right in kinds)


def _turn(glyphs: Names, rules: Any, ids: Mapping[str, int]) -> Any:
    """Return the rules of one character: classes 1, 2, … are its takes, class 0 is everything else."""
    before = {glyph: number for number, glyph in enumerate(glyphs, 1)}
    return _by_class(dict.fromkeys(glyphs, 1), before, {}, ids, [rules])


def _next_in_turn(size: int) -> Any:
    """Return the rules of a character of `size` takes: after the nearest earlier one the next."""
    return _set(
        _rule([0] * between + [number], [], number % size)
        for between in range(WINDOW)
        for number in range(1, size + 1)
    )


def _by_class(
    of: Mapping[str, int],
    before: Mapping[str, int],
    after: Mapping[str, int],
    ids: Mapping[str, int],
    sets: list[Any],
) -> Any:
    """Return chained contexts by glyph class (format 2) for the glyphs `of` classes from 1 on."""
    chain = otTables.ChainContextSubst()
    chain.Format = 2
    chain.Coverage = buildCoverage(of, ids)
    chain.BacktrackClassDef, chain.InputClassDef = _classes(before), _classes(of)
    chain.LookAheadClassDef = _classes(after)
    chain.ChainSubClassSet = [None, *sets]
    chain.ChainSubClassSetCount = len(chain.ChainSubClassSet)
    return chain


def _classes(of: Mapping[str, int]) -> Any:
    classes = otTables.ClassDef()
    classes.classDefs = dict(of)
    return classes


def _set(rules: Iterator[Any]) -> Any:
    found = otTables.ChainSubClassSet()
    found.ChainSubClassRule = list(rules)
    found.ChainSubClassRuleCount = len(found.ChainSubClassRule)
    return found


def _rule(backtrack: list[int], ahead: list[int], turn: int) -> Any:
    """Return the rule for what stands before, nearest first, and after; `turn` is the take to set."""
    rule = otTables.ChainSubClassRule()
    rule.Backtrack, rule.BacktrackGlyphCount = backtrack, len(backtrack)
    rule.Input, rule.InputGlyphCount = [], 1
    rule.LookAhead, rule.LookAheadGlyphCount = ahead, len(ahead)
    rule.SubstLookupRecord, rule.SubstCount = [_at_first(turn)], 1
    return rule


def _at_first(lookup: int) -> Any:
    record = otTables.SubstLookupRecord()
    record.SequenceIndex, record.LookupListIndex = 0, lookup
    return record


def _features(features: Mapping[str, Sequence[int]]) -> Any:
    found = otTables.FeatureList()
    found.FeatureRecord = []
    for tag in sorted(features):
        feature = otTables.Feature()
        feature.FeatureParams = None
        feature.LookupListIndex, feature.LookupCount = list(features[tag]), len(features[tag])
        record = otTables.FeatureRecord()
        record.FeatureTag, record.Feature = tag, feature
        found.FeatureRecord.append(record)
    found.FeatureCount = len(found.FeatureRecord)
    return found


def _scripts(features: int) -> Any:
    """Return a script list by which every script and language has all the features."""
    language = otTables.DefaultLangSys()
    language.ReqFeatureIndex, language.FeatureCount = 0xFFFF, features
    language.FeatureIndex = list(range(features))
    script = otTables.Script()
    script.DefaultLangSys, script.LangSysRecord, script.LangSysCount = language, [], 0
    records = []
    for tag in ("DFLT", "latn"):
        record = otTables.ScriptRecord()
        record.ScriptTag, record.Script = tag, script
        records.append(record)
    found = otTables.ScriptList()
    found.ScriptRecord, found.ScriptCount = records, len(records)
    return found
