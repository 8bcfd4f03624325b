"""Array types shared by every layer."""

from typing import Any

import numpy as np
import numpy.typing as npt

FloatArray = npt.NDArray[np.float64]
Float32Array = npt.NDArray[np.float32]
IntArray = npt.NDArray[np.intp]
BoolArray = npt.NDArray[np.bool_]
ByteArray = npt.NDArray[np.uint8]
WordArray = npt.NDArray[np.uint16]
ArrayLike = npt.ArrayLike
AnyArray = npt.NDArray[Any]
