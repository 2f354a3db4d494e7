"""The palette reads in greyscale and for colour-blind people; type comes in four sizes."""

import pytest

from template_builder.files import look
from template_builder.files.look import PAPER, SIZE_BODY, SIZE_SECTION, SIZE_SMALL, SIZE_TITLE, Style

LEAST_CONTRAST = 4.5  # WCAG 2.1, success criterion 1.4.3, for text of ordinary size
TOLD_APART = 1.4  # how much darker one verdict's fill is than the next; house rule
STYLES = {name: style for name, style in vars(look).items() if isinstance(style, Style)}


def luminance(colour: str) -> float:
    """Relative luminance of a colour, 0 black to 1 white, as WCAG 2.1 defines it."""
    parts = [int(colour[at:at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (part / 12.92 if part <= 0.03928 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours, 1 to 21, as WCAG 2.1 defines it."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_contrast_is_that_of_the_standard() -> None:
    assert 21 == pytest.approx(contrast("#FFFFFF", "#000000"))  # WCAG 2.1, definition of contrast ratio: 1 to 21
    assert 4.54 == pytest.approx(contrast("#767676", "#FFFFFF"), abs=0.005)  # the lightest grey that passes, from memory


@pytest.mark.parametrize("name", STYLES)
def test_words_stand_out_from_their_cell(name: str) -> None:
    style = STYLES[name]
    assert LEAST_CONTRAST <= contrast(style.colour, style.fill or PAPER)


def test_one_type_scale() -> None:
    assert {SIZE_SMALL, SIZE_BODY, SIZE_SECTION, SIZE_TITLE} == {style.size for style in STYLES.values()}


def test_verdicts_differ_in_greyscale() -> None:
    fills = [style.fill or PAPER for style in (look.STRICTEST, look.STRICT, look.FINE)]
    assert all(TOLD_APART <= contrast(dark, light) for dark, light in zip(fills, fills[1:], strict=False))
    assert look.LOOK_AGAIN.pattern and look.OPEN.italic


def test_chart_series_differ_in_greyscale_or_pattern() -> None:
    assert len(look.CHART_SERIES) == len(set(look.CHART_PATTERNS)) == len(look.CHART_PATTERNS)
