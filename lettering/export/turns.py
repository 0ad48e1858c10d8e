"""Contextual alternates: the takes of a character take turns wherever the typeface is set.

The OpenType table is built directly. Written as feature text, each rule would name every glyph that may
stand between two uses of a character, and compiling a hand of five hundred takes would last a minute.
"""

from collections.abc import Mapping, Sequence
from typing import Any

from fontTools.otlLib.builder import buildLookup, buildSingleSubstSubtable
from fontTools.ttLib import newTable
from fontTools.ttLib.tables import otTables

WINDOW = 8
"""How far back the last use of a character is looked for, characters; farther apart any take may stand."""


def alternates(turning: Sequence[Sequence[str]]) -> Any:
    """Return a GSUB table with the feature `calt`; `turning` has for each character its glyphs in turn.

    One lookup a character, run from left to right: the nearest earlier take of the character decides, and
    the next one in turn is set. Hence a take comes back only after all others, or farther off than `WINDOW`.
    Structure: OpenType 1.9, GSUB lookup types 1 and 6 (chained contexts by glyph class, format 2).
    """
    most = max(map(len, turning))
    swaps = [_swap(turning, turn) for turn in range(1, most)]
    chains = [_chain(glyphs) for glyphs in turning]
    gsub = otTables.GSUB()
    gsub.Version = 0x00010000
    gsub.LookupList = otTables.LookupList()
    gsub.LookupList.Lookup = [buildLookup([subtable]) for subtable in (*swaps, *chains)]
    gsub.LookupList.LookupCount = len(gsub.LookupList.Lookup)
    gsub.FeatureList = _features(range(len(swaps), len(swaps) + len(chains)))
    gsub.ScriptList = _scripts()
    table = newTable("GSUB")
    table.table = gsub
    return table


def _swap(turning: Sequence[Sequence[str]], turn: int) -> Any:
    """Return a substitution of every first take by the one whose turn it is."""
    return buildSingleSubstSubtable({glyphs[0]: glyphs[turn] for glyphs in turning if len(glyphs) > turn})


def _chain(glyphs: Sequence[str]) -> Any:
    """Return the rules of one character: classes 1, 2, … are its takes, class 0 is everything else."""
    chain = otTables.ChainContextSubst()
    chain.Format = 2
    chain.Coverage = otTables.Coverage()
    chain.Coverage.glyphs = [glyphs[0]]
    before = {glyph: number for number, glyph in enumerate(glyphs, 1)}
    chain.BacktrackClassDef, chain.InputClassDef = _classes(before), _classes({glyphs[0]: 1})
    chain.LookAheadClassDef = _classes({})
    rules = otTables.ChainSubClassSet()
    rules.ChainSubClassRule = [
        _rule([0] * between + [before[glyph]], number % len(glyphs))
        for between in range(WINDOW)
        for number, glyph in enumerate(glyphs, 1)
    ]
    rules.ChainSubClassRuleCount = len(rules.ChainSubClassRule)
    chain.ChainSubClassSet = [None, rules]
    chain.ChainSubClassSetCount = 2
    return chain


def _classes(of: Mapping[str, int]) -> Any:
    classes = otTables.ClassDef()
    classes.classDefs = dict(of)
    return classes


def _rule(backtrack: list[int], turn: int) -> Any:
    """Return the rule for a take so far back, nearest first; turn 0 keeps the first take."""
    rule = otTables.ChainSubClassRule()
    rule.Backtrack, rule.BacktrackGlyphCount = backtrack, len(backtrack)
    rule.Input, rule.InputGlyphCount = [], 1
    rule.LookAhead, rule.LookAheadGlyphCount = [], 0
    rule.SubstLookupRecord = [_swapped(turn)] if turn else []
    rule.SubstCount = len(rule.SubstLookupRecord)
    return rule


def _swapped(turn: int) -> Any:
    record = otTables.SubstLookupRecord()
    record.SequenceIndex, record.LookupListIndex = 0, turn - 1
    return record


def _features(lookups: Sequence[int]) -> Any:
    feature = otTables.Feature()
    feature.FeatureParams = None
    feature.LookupListIndex, feature.LookupCount = list(lookups), len(lookups)
    record = otTables.FeatureRecord()
    record.FeatureTag, record.Feature = "calt", feature
    found = otTables.FeatureList()
    found.FeatureRecord, found.FeatureCount = [record], 1
    return found


def _scripts() -> Any:
    """Return a script list by which every script and language has the feature."""
    language = otTables.DefaultLangSys()
    language.ReqFeatureIndex, language.FeatureIndex, language.FeatureCount = 0xFFFF, [0], 1
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
