"""Portraits whose card gets another light than the face, painted."""

import cv2
import numpy as np

from tenter.colorimetry.spaces import decode_srgb, encode_srgb
from tenter.photo.files.loading import Photo


def on_card(portrait, grown_px=0, soft_px=0.0):
    """1 on the card of a portrait, 0 beside it: (height, width, 1)."""
    mask = np.zeros(portrait.rgb.shape[:2], np.uint8)
    cv2.fillConvexPoly(mask, np.round(portrait.truth["card"]["corners_px"]).astype(np.int32), 1)
    if grown_px:
        mask = cv2.dilate(mask, np.ones((2 * grown_px + 1,) * 2, np.uint8))
    return (cv2.GaussianBlur(mask.astype(float), (0, 0), soft_px) if soft_px else mask.astype(float))[..., None]


def white_of(portrait):
    """Linear sRGB (3,) of the card's white."""
    quad = np.array(portrait.truth["card"]["patches_px"][18])
    low, high = (quad.mean(axis=0) + 0.25 * (end(quad, axis=0) - quad.mean(axis=0)) for end in (np.min, np.max))
    window = portrait.rgb[int(low[1]) : int(high[1]) + 1, int(low[0]) : int(high[0]) + 1]
    return decode_srgb(window / 255).mean(axis=(0, 1))


def photo_of(linear):
    """A photograph of linear sRGB (height, width, 3)."""
    return Photo((np.clip(encode_srgb(np.clip(linear, 0, 1)), 0, 1) * 255 + 0.5).astype(np.uint8))


def veiled(portrait, share, everywhere=False):
    """The portrait with a share of white's light on the card, or on all of the picture."""
    part = np.ones((1, 1, 1)) if everywhere else on_card(portrait)
    return photo_of(decode_srgb(portrait.rgb / 255) + part * share * white_of(portrait))


def shaded(portrait, part):
    """The portrait with a part of the light left on the card, and softly on the wall around it."""
    return photo_of(decode_srgb(portrait.rgb / 255) * (1 - (1 - part) * on_card(portrait, 14, 9.0)))


def tinted(portrait, channel, share):
    """The portrait with one channel of the card raised by nothing at its top, and by a share at its bottom."""
    y = np.array(portrait.truth["card"]["corners_px"])[:, 1]
    along = np.clip((np.arange(portrait.rgb.shape[0]) - y.min()) / np.ptp(y), 0, 1)[:, None, None]
    factor = np.ones(3) + np.eye(3)[channel] * share
    return photo_of(decode_srgb(portrait.rgb / 255) * (1 + (factor - 1) * along * on_card(portrait)))


def brightened(portrait, mask, factor, soft_px):
    """The portrait lighter where a mask (height, width) is 1."""
    soft = cv2.GaussianBlur(mask.astype(float), (0, 0), soft_px)[..., None]
    return photo_of(decode_srgb(portrait.rgb / 255) * (1 + (factor - 1) * soft))


def oval_of(portrait, mesh):
    """1 within an ellipse about cheeks, forehead and chin (height, width)."""
    mask = np.zeros(portrait.rgb.shape[:2], np.uint8)
    (x, y), (width, height), degrees = cv2.fitEllipse(cv2.convexHull(mesh.astype(np.float32)))
    cv2.ellipse(mask, ((x, y), (0.93 * width, 0.93 * height), degrees), 1, -1)
    return mask
