"""How well a colour has to suit for where it is worn: the one place, for palette, staples and garments alike.

Suitability is the expectation of exp(U), 1 at the client's ideal. The borders are common practice, no source.
"""

NEAR_FROM = 0.5  # among a client's best: worn at the face
AWAY_FROM = 0.15  # worn away from it
SMALL_FROM = 0.07  # in small areas; below, better left
HARDLY_DIFFERS = 4.0  # ΔE00 within which a colour is as good as one of the palette
