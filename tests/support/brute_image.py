"""An LED wall photographed the long way: rendered, blurred, sampled, and its spectrum searched.

Shares nothing with the program. The wall is drawn point by point many times finer than the
photosites, through a homography; the lens is the Fourier transform of its pupil with the phase of
the defocus; the low-pass filter shifts the picture to four places; photosites take means. What is
in the picture is then found blindly, the strongest sine first.
"""

from dataclasses import dataclass

import numpy as np
from scipy.optimize import brentq, minimize
from scipy.signal import windows
from scipy.spatial.transform import Rotation


@dataclass(frozen=True, kw_only=True)
class Photograph:
    """One wall, lens and sensor; lengths in millimetres, distances from the sensor plane."""

    pitch: float = 2.6
    fill: float = 0.5
    disc: bool = False
    focal: float = 35.0
    f_number: float = 4.0
    distance: float
    focus: float
    yaw: float = 0.0
    tilt: float = 0.0
    roll: float = 0.0
    squeeze: float = 1.0
    photosite: float = 0.005
    low_pass: float = 0.0
    photosite_fill: float = 1.0
    wavelength: float = 0.55e-3
    centre: tuple[float, float] = (0.0, 0.0)  # of the patch, photosites from the frame's middle
    size: int = 96  # photosites
    fine: int = 8  # samples across a photosite

    @property
    def lens_to_sensor(self) -> float:
        """From the lens equation, by bisection on the focus scale."""
        def scale_error(subject):
            return subject + 1 / (1 / self.focal - 1 / subject) - self.focus

        subject = brentq(scale_error, 2 * self.focal, 1e9, xtol=1e-9)
        return 1 / (1 / self.focal - 1 / subject)

    def wall_points(self, x, y):
        """LED coordinates (column, row) of points on the sensor, and their depth."""
        turn = Rotation.from_euler("ZYX", [self.roll, self.yaw, self.tilt], degrees=True)
        turn = turn.as_matrix()
        away = [0.0, 0.0, self.distance - self.lens_to_sensor]
        pose = np.column_stack([turn[:, 0] * self.pitch, turn[:, 1] * self.pitch, away])
        lens = np.diag([self.lens_to_sensor / self.squeeze, self.lens_to_sensor, 1.0])
        back = np.linalg.inv(lens @ pose)
        column, row, one = np.tensordot(back, np.stack([x, y, np.ones_like(x)]), axes=1)
        column, row = column / one, row / one
        return column, row, 1 / one

    def drawn(self):
        """Light of the wall on a fine grid over the patch, 1 where an LED covers the sample."""
        count = self.size * self.fine
        offsets = (np.arange(count) + 0.5) / self.fine - self.size / 2
        x, y = np.meshgrid((offsets + self.centre[0]) * self.photosite,
                           (offsets + self.centre[1]) * self.photosite)
        column, row, _ = self.wall_points(x, y)
        if self.disc:
            return covered(np.hypot(column - np.round(column), row - np.round(row)),
                           self.fill / 2, np.hypot(*np.gradient(column)))
        return np.prod([
            covered(np.abs(each - np.round(each)), self.fill / 2, np.hypot(*np.gradient(each)))
            for each in (column, row)], axis=0)

    def optical_transfer(self):
        """From the pupil, on the grid of frequencies of `drawn`."""
        middle = np.array(self.centre) * self.photosite
        depth = float(self.wall_points(*(np.array([each]) for each in middle))[2][0])
        pupil = self.focal / self.f_number
        vergence = 1 / self.lens_to_sensor - (1 / self.focal - 1 / depth)
        edge_path = (pupil / 2) ** 2 / 2 * vergence
        count = self.size * self.fine
        frequency = np.fft.fftfreq(count, self.photosite / self.fine)
        edge = pupil / 2 / (self.wavelength * self.lens_to_sensor)
        radius = np.hypot(*np.meshgrid(frequency, frequency)) / edge
        wave = (radius < 1) * np.exp(2j * np.pi * edge_path / self.wavelength * radius**2)
        spread = np.abs(np.fft.ifft2(wave)) ** 2
        transfer = np.fft.fft2(spread)
        return transfer / transfer[0, 0]

    def recorded(self):
        """What the photosites catch, shape (size, size)."""
        light = np.fft.ifft2(np.fft.fft2(self.drawn()) * self.optical_transfer()).real
        shift = self.low_pass * self.fine / 2
        assert shift == round(shift), "a shift of whole fine samples"
        spots = [np.roll(light, (int(down * shift), int(across * shift)), (0, 1))
                 for down in (-1, 1) for across in (-1, 1)]
        wide = self.photosite_fill * self.fine
        assert wide == round(wide), "a photosite of whole fine samples"
        first = (self.fine - int(wide)) // 2
        lit = slice(first, first + int(wide))
        blocks = np.mean(spots, axis=0).reshape(self.size, self.fine, self.size, self.fine)
        return blocks[:, lit, :, lit].mean(axis=(1, 3))


def covered(distance, half, sample):
    """Share of a sample that lies within `half` of the middle of an LED, all in pitches."""
    return np.clip((half - distance) / sample + 0.5, 0, 1)


def colour_planes(picture):
    """Half of red less blue, and half of green less the mean of red and blue, of a Bayer mosaic.

    Photosites without the colour stay empty; a filled plane would have a quarter of them.
    """
    rows, columns = np.indices(picture.shape)
    red = (rows % 2 == 0) & (columns % 2 == 1)
    blue = (rows % 2 == 1) & (columns % 2 == 0)
    green = ~(red | blue)
    return (4 * red * picture - 4 * blue * picture) / 2, (
        2 * green * picture - 2 * (red | blue) * picture) / 2


def box_delivered(picture, ratio):
    """Means over squares of photosites."""
    count = picture.shape[0] // ratio
    cut = picture[:count * ratio, :count * ratio]
    return cut.reshape(count, ratio, count, ratio).mean(axis=(1, 3))


def strongest_sines(picture, count, *, within=0.5, nearest=0.0, mean=None):
    """Frequencies (x, y) [cycles per sample] and amplitudes of the strongest sines.

    Looks at frequencies up to `within` along each axis and not nearer than `nearest` to zero;
    each sine that is found is taken away before the next is looked for. Amplitudes are relative
    to `mean`, that of the picture unless given.
    """
    size = picture.shape[0]
    window = windows.blackmanharris(size, sym=False)
    window = np.outer(window, window) / window.sum() ** 2
    place = np.arange(size) - size // 2

    def amplitude(at):
        across, down = (np.exp(-2j * np.pi * frequency * place) for frequency in at)
        return 2 * (down @ (window * rest) @ across)

    level = (window * picture).sum()
    rest = (picture - level) / (level if mean is None else mean)
    padded = 4 * size
    grid = np.fft.fftfreq(padded)
    x, y = np.meshgrid(grid, grid)
    out = (np.abs(x) > within) | (np.abs(y) > within) | (np.hypot(x, y) < nearest) | (x < -1e-9)
    found = []
    for _ in range(count):
        spectrum = np.abs(np.fft.fft2(window * rest, (padded, padded)))
        spectrum[out] = 0
        top = np.unravel_index(spectrum.argmax(), spectrum.shape)
        best = minimize(lambda at: -np.abs(amplitude(at)), [x[top], y[top]], method="Nelder-Mead",
                        options={"xatol": 1e-7, "fatol": 1e-9, "initial_simplex": [
                            [x[top] + dx, y[top] + dy]
                            for dx, dy in ((0, 0), (1 / padded, 0), (0, 1 / padded))]}).x
        strength = amplitude(best)
        found.append((float(best[0]), float(best[1]), float(np.abs(strength))))
        phase = 2 * np.pi * np.add.outer(best[1] * place, best[0] * place) + np.angle(strength)
        rest = rest - np.abs(strength) * np.cos(phase)
    return found
