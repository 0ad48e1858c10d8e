"""What is owed to a reader of some age."""

import json
from pathlib import Path

import pytest

import lettering.setting
from lettering.errors import LetteringError
from lettering.setting.reading_age import all_bands, band_for
from lettering.units import visual_angle_degrees


def test_british_association_sizes() -> None:
    """The least sizes for ages 6, 7, 8, 9 and 12 are those of the British Association's table of 1913.

    Source: British Association 1913, from memory; 1.8 mm for ages 9 to 12.
    """
    least = {age: band_for((age, age)).x_min for age in (6, 7, 8, 9, 12)}

    assert least == {6: 3.5, 7: 2.5, 8: 2.0, 9: 1.8, 12: 1.58}


def test_the_younger_decides() -> None:
    """Two ages mean reading aloud: the younger reader's sizes, seen from farther off."""
    both, alone = band_for((6, 9)), band_for((6, 6))

    assert (both.x_min, both.words_row) == (alone.x_min, alone.words_row)
    assert both.viewing_mm > alone.viewing_mm


@pytest.mark.parametrize(
    ("ages", "name"),
    [
        ((3, 5), "read_aloud_3_5"),
        ((2, 2), "read_aloud_3_5"),
        ((5, 5), "under_7"),
        ((40, 40), "age_12_up"),
        ((99, 120), "age_12_up"),
    ],
)
def test_every_age_has_a_band(ages: tuple[int, int], name: str) -> None:
    """Every age of a reader, however young or old, finds its band."""
    assert band_for(ages).id == name


@pytest.mark.parametrize("ages", [(5, 3), (-1, 4)])
def test_impossible_ages_are_refused(ages: tuple[int, int]) -> None:
    """Ages in the wrong order or below nought are refused with an explanation."""
    with pytest.raises(LetteringError, match="no span"):
        band_for(ages)


def test_every_figure_names_its_source() -> None:
    """Each figure of each band carries a mark of provenance that the table explains."""
    table = json.loads((Path(lettering.setting.__file__).parent / "reading_sizes.json").read_text("utf-8"))

    for band in all_bands():
        for source in band.sources.values():
            assert source == "house default" or source.replace(";", " ").split()[0] in table["provenance"]


def test_least_sizes_are_within_the_fluent_range() -> None:
    """No least size falls under 0.2 degrees at its viewing distance (Legge and Bigelow 2011)."""
    for band in all_bands():
        assert visual_angle_degrees(band.x_min, band.viewing_mm) > 0.2
