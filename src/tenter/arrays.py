"""What every layer shares about arrays: their types, and values `steady` enough to be compared.

Two processors, or two builds of one library, sum in another order and part in the last digits of what they find. Where
such values are compared with a limit or with each other, and the answer is seen, they are first made steady: what lies
within rounding of a limit then keeps to the limit, and equal values stay in the order they came in.
"""

from typing import Any, overload

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

STEADY_DECIMALS = 9  # finer than anything here is known, and a thousand times coarser than what arithmetic leaves


@overload
def steady(values: float) -> float: ...
@overload
def steady(values: FloatArray) -> FloatArray: ...
def steady(values: float | FloatArray) -> float | FloatArray:
    """Return `values` of any unit rounded to 1e-9, and 0 for -0, in their shape (...).

    Near ties become ties, and the first of them is meant.
    """
    rounded: float | FloatArray = np.round(values, STEADY_DECIMALS) + 0.0
    return rounded
