"""Frames made the long way, measured: pitch and contrast come back within what is stated.

Counts. Where the stated uncertainty is right a figure lies within two standard deviations in 95.45
of 100 frames (normal law), so of n frames n * 0.9545 are expected, with a standard deviation of
sqrt(n * 0.9545 * 0.0455) (binomial): 240 frames give 229.1 +/- 3.2. The bounds of 92 and 98 %,
220.8 and 235.2 frames, are 2.6 and 1.9 of them away. Seeds are fixed, so a count is the same each
time.
"""

import numpy as np
import pytest
from brute_bands import band_file, band_frame, codes, picture_file
from numpy.testing import assert_allclose

from bandcheck.measure.picture_bands import picture_bands

CASES = {
    "half a percent of noise": {"noise": 0.005},
    "one percent of noise": {},
    "five percent of noise": {"noise": 0.05},
    "16 bit": {"bits": 16},
    "JPEG 85": {"form": "JPEG"},
    "texture": {"clouds": 0.05},
    "captions": {"captions": 4},
    "moire": {"moire": 0.05},
    "strong fall-off": {"fall_off": 0.5, "slope": 0.4},
    "all of it": {"clouds": 0.05, "captions": 3, "moire": 0.02, "form": "JPEG"},
}
SMALL = {"height": 240, "width": 192}


def one_frame(rng, **settings):
    """Bands a row and contrast of a frame, and what is measured in it."""
    cycles, contrast = rng.uniform(0.035, 0.11), rng.uniform(0.03, 0.1)
    content = band_file(rng, bands=[(cycles, contrast)], **SMALL, **settings)
    return cycles, contrast, picture_bands(content, name="frame")


@pytest.fixture(scope="module")
def scatter():
    """Errors over stated uncertainties and relative errors of frequency and contrast."""
    rng = np.random.default_rng(20)
    rows = {"names": [], "frequency": [], "contrast": [], "off": [], "off_contrast": []}
    for number in range(240):
        name = list(CASES)[number % len(CASES)]
        cycles, contrast, found = one_frame(rng, **CASES[name])
        assert found.sources, name
        own = found.sources[0]
        rows["names"].append(name)
        for key, figure, truth in (("frequency", own.cycles_per_row, cycles),
                                   ("contrast", own.contrast, contrast)):
            rows[key].append((figure.value - truth) / figure.uncertainty)
            rows["off" if key == "frequency" else "off_contrast"].append(figure.value / truth - 1)
    return {key: np.array(each) for key, each in rows.items()}


@pytest.mark.parametrize("key", ["frequency", "contrast"])
def test_two_stated_sigmas_hold_95_frames_in_100(scatter, key):
    inside = np.abs(scatter[key]) < 2
    assert 0.92 <= inside.mean() <= 0.98, inside.mean()


@pytest.mark.parametrize("name", CASES)
def test_figures_come_back_within_half_a_percent_and_a_tenth(scatter, name):
    own = scatter["names"] == name
    assert own.sum() == 24
    assert np.abs(scatter["off"][own]).max() < 5e-3
    assert np.abs(scatter["off_contrast"][own]).max() < 0.1


def test_two_sources_in_one_picture_are_told_apart():
    rng = np.random.default_rng(21)
    inside = []
    for _ in range(40):
        bands = [(rng.uniform(0.03, 0.05), 0.08), (rng.uniform(0.09, 0.11), 0.04)]
        found = picture_bands(band_file(rng, bands=bands, **SMALL), name="frame")
        assert len(found.sources) == 2
        for own, (cycles, contrast) in zip(found.sources, bands, strict=True):
            assert_allclose(own.cycles_per_row.value, cycles, rtol=5e-3)
            assert_allclose(own.contrast.value, contrast, rtol=0.1)
            inside.append(abs(own.cycles_per_row.value - cycles)
                          < 2 * own.cycles_per_row.uncertainty)
    # 80 figures: 76.4 +/- 1.9
    assert 71 <= sum(inside) <= 80


def test_noise_alone_is_hardly_ever_taken_for_bands():
    rng = np.random.default_rng(22)
    kinds = [{}, {"noise": 0.05}, {"noise": 0.005}, {"form": "JPEG"}, {"clouds": 0.3},
             {"moire": 0.05}, {"captions": 2}, {"fall_off": 0.6, "slope": 0.5},
             {"bits": 16}, {"clouds": 0.1, "form": "JPEG"}]
    found = 0
    for number in range(500):
        content = band_file(rng, bands=(), height=128, width=112, **kinds[number % len(kinds)])
        found += bool(picture_bands(content, name="frame").sources)
    assert found < 5


def test_what_is_said_to_be_seen_is_seen():
    # 95 in 100 of the faintest bands that would have been seen: of 100 frames 95 +/- 2.2
    rng = np.random.default_rng(23)
    seen = 0
    for _ in range(100):
        even = picture_bands(band_file(rng, bands=(), **SMALL), name="frame")
        content = band_file(rng, bands=[(rng.uniform(0.03, 0.4), even.detectable)], **SMALL)
        seen += bool(picture_bands(content, name="frame").sources)
    assert seen >= 90


@pytest.mark.parametrize("along", ["rows", "columns"])
def test_a_picture_on_its_side(along):
    rng = np.random.default_rng(24)
    code = codes(band_frame(rng, bands=[(0.05, 0.05)], **SMALL))
    content = picture_file(code if along == "rows" else code.T)
    found = picture_bands(content, name="frame", along=along)
    assert_allclose(found.sources[0].cycles_per_row.value, 0.05, rtol=5e-3)
    assert found.picture_rows == 240


def test_the_region_given_is_the_one_that_is_used():
    rng = np.random.default_rng(25)
    content = band_file(rng, bands=[(0.05, 0.05)], **SMALL)
    found = picture_bands(content, name="frame", region=(10, 30, 120, 150))
    assert found.region == (10, 30, 120, 150)
    assert not found.region_found
    assert len(found.light) == 150
    assert_allclose(found.sources[0].middle_row, 30 + 149 / 2)
