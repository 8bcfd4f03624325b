"""The trade: cloths, method, judgements, the sitting, its verdict and the palette that follows."""
