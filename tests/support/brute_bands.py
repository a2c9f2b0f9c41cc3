"""Frames of a rolling shutter made the long way, for what is to be measured in them.

Shares nothing with the program. Light is a sum of sines of the time at which a row looks; the lens
darkens it towards the corners; what is filmed has a slope, a texture, a moire or a caption; the
sensor adds noise; codes are rounded to 8 or 16 bit after a gamma, and a file is made of them.
"""

import io

import numpy as np
from PIL import Image


def srgb_code(light):
    """sRGB signal by its definition (IEC 61966-2-1)."""
    light = np.clip(light, 0, 1)
    return np.where(light <= 0.0031308, 12.92 * light, 1.055 * light ** (1 / 2.4) - 0.055)


def texture(rng, height, width, strength):
    """Clouds with the spectrum of natural pictures, amplitude 1 / f, as a factor on light."""
    white = np.fft.rfft2(rng.standard_normal((height, width)))
    distance = np.hypot(np.fft.fftfreq(height)[:, np.newaxis], np.fft.rfftfreq(width))
    distance[0, 0] = 1
    clouds = np.fft.irfft2(white / distance, (height, width))
    return np.exp(strength * clouds / clouds.std())


def band_frame(
    rng, *, bands=((0.03, 0.05),), height=360, width=320, level=0.4, noise=0.01, fall_off=0.2,
    slope=0.1, clouds=0.0, moire=0.0, captions=0,
):
    """Light of a frame, shape (height, width).

    `bands` holds pairs of bands a row and contrast; their phases are random.
    """
    row = np.arange(height)[:, np.newaxis]
    column = np.arange(width)
    light = np.ones((height, 1))
    for cycles, contrast in bands:
        light = light + contrast * np.sin(2 * np.pi * (cycles * row + rng.uniform()))
    middle = np.hypot(row - height / 2, column - width / 2) / np.hypot(height, width) * 2
    light = light * (1 - fall_off * middle**2) * (1 + slope * (row / height - 0.5))
    light = light * (1 + 0.1 * column / width)
    if clouds:
        light = light * texture(rng, height, width, clouds)
    if moire:
        light = light * (1 + moire * np.cos(2 * np.pi * (0.021 * row + 0.037 * column)))
    light = level * light * (1 + noise * rng.standard_normal((height, width)))
    for _ in range(captions):
        wide = width // 6
        top, left = rng.integers(0, height - 12), rng.integers(0, width - wide)
        light[top : top + 12, left : left + wide : 2] = rng.uniform(0, 0.9)
    return light


def codes(light, *, bits=8, encode=srgb_code):
    """Code values of light."""
    top = 2**bits - 1
    code = np.clip(np.rint(top * encode(light)), 0, top)
    return code.astype(np.uint8 if bits == 8 else np.uint16)


def picture_file(code, form="PNG", **settings):
    """Bytes of a picture file."""
    target = io.BytesIO()
    Image.fromarray(code).save(target, form, **settings)
    return target.getvalue()


def band_file(rng, *, form="PNG", bits=8, quality=85, **frame):
    """File of a frame, sRGB."""
    settings = {"quality": quality} if form == "JPEG" else {}
    return picture_file(codes(band_frame(rng, **frame), bits=bits), form, **settings)
