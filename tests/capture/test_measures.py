"""The published measures give what they must on pictures whose answer is known."""

import numpy as np
import pytest
from skimage.metrics import structural_similarity

from tests.binarised import binarised
from tests.dewarped import displaced, ms_ssim, ssim_parts

SQUARE = np.zeros((64, 64), dtype=bool)
SQUARE[16:40, 20:44] = True


def test_a_mask_that_is_right_has_the_best_of_all_measures() -> None:
    """Nothing wrong: 100, 100, no noise at all, no distortion (definitions)."""
    seen = binarised(SQUARE, SQUARE)

    assert [seen.f, seen.pseudo_f] == pytest.approx([100, 100])
    assert [seen.psnr, seen.drd] == [np.inf, 0]


def test_one_wrong_pixel_far_from_ink_is_worth_what_the_formulas_say() -> None:
    """PSNR is 10 lg of the count of pixels; DRD is one over the blocks with ink and paper (closed form)."""
    spoilt = SQUARE.copy()
    spoilt[60, 3] = True
    seen, ink = binarised(spoilt, SQUARE), 24 * 24
    precision = ink / (ink + 1)
    # 24 px from 20 on lie in blocks 2 to 5 across, and from 16 on fill blocks 2 to 4 down: of these 12 only
    # the outer two columns hold paper too.
    assert seen.psnr == pytest.approx(10 * np.log10(64 * 64))
    assert seen.drd == pytest.approx(1 / 6)
    assert seen.f == pytest.approx(200 * precision / (1 + precision))


def test_ink_lost_at_the_edge_costs_less_where_the_skeleton_is_kept() -> None:
    """A stroke made thinner keeps its skeleton: pseudo-F stays 100 while F falls (definition)."""
    true, thin = np.zeros((2, 40, 60), dtype=bool)
    true[16:23, 10:50], thin[18:21, 10:50] = True, True
    seen = binarised(thin, true)

    assert seen.f == pytest.approx(200 * (3 / 7) / (1 + 3 / 7))
    assert seen.pseudo_f > 97


def test_structural_similarity_is_the_library_s() -> None:
    """At one scale light times structure is scikit-image's SSIM with the same window."""
    rng = np.random.default_rng(1)
    one = rng.random((200, 240))
    other = np.clip(one + 0.2 * rng.standard_normal(one.shape), 0, 1)
    light, structure = ssim_parts(one, other)
    wanted = structural_similarity(
        one, other, data_range=1.0, gaussian_weights=True, sigma=1.5, use_sample_covariance=False
    )

    assert (light * structure)[5:-5, 5:-5].mean() == pytest.approx(wanted, abs=1e-9)
    assert ms_ssim(one, one) == pytest.approx(1)
    assert ms_ssim(one, other) < ms_ssim(one, (one + other) / 2) < 1


def test_displacement_sees_neither_turn_nor_scale_nor_shift() -> None:
    """A page that is only turned, scaled and moved is flat; one point 10 px off among many is 10 px off."""
    x, y = np.meshgrid(np.arange(880.0, step=20), np.arange(680.0, step=20))
    true = np.stack([x.ravel(), y.ravel()], axis=-1)
    turned = true @ np.array([[0.0, 2.0], [-2.0, 0.0]]) + (30, -7)
    spoilt = true.copy()
    spoilt[700] += (0, 10)

    assert displaced(turned, true, (880, 680)).most == pytest.approx(0, abs=1e-6)
    assert displaced(spoilt, true, (880, 680)).most == pytest.approx(10, rel=0.01)
