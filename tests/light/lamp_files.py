"""Files of lamps' spectra as programs and meters write them."""

from collections.abc import Iterable

from tenter.colorimetry.illuminants import WAVELENGTHS_NM, illuminant_power

Pairs = list[tuple[float, float]]


def lamp_pairs(lamp: str) -> Pairs:
    """Return wavelengths and powers of a CIE illuminant."""
    return list(zip(WAVELENGTHS_NM.tolist(), illuminant_power(lamp).tolist(), strict=True))


def as_csv(
    pairs: Iterable[tuple[float, float]], separator: str = ",", decimal: str = ".", head: str = "nm,power"
) -> str:
    """Return a table of a wavelength and a power a line."""
    lines = [f"{nm:g}{separator}{value:.6g}".replace(".", decimal) for nm, value in pairs]
    return "\n".join([head, *lines, ""])


def as_sp(pairs: Iterable[tuple[float, float]]) -> str:
    """Return a spectrum as ArgyllCMS's tools write one (.sp)."""
    found = list(pairs)
    fields = " ".join(f"SPEC_{nm:g}" for nm, _ in found)
    values = " ".join(f"{value:.6g}" for _, value in found)
    return (
        'SPECT\n\nDESCRIPTOR "Argyll Spectral power/reflectance information"\nORIGINATOR "Argyll CMS"\n'
        f'SPECTRAL_BANDS "{len(found)}"\nSPECTRAL_START_NM "{found[0][0]:.6f}"\nSPECTRAL_END_NM "{found[-1][0]:.6f}"\n'
        f'SPECTRAL_NORM "1.000000"\n\nNUMBER_OF_FIELDS {len(found)}\nBEGIN_DATA_FORMAT\n{fields}\nEND_DATA_FORMAT\n\n'
        f"NUMBER_OF_SETS 1\nBEGIN_DATA\n{values}\nEND_DATA\n"
    )


def as_tm27(pairs: Iterable[tuple[float, float]], quantity: str = "relative") -> str:
    """Return an IES TM-27-14 document."""
    data = "\n".join(f'  <SpectralData wavelength="{nm:g}">{value:.6g}</SpectralData>' for nm, value in pairs)
    return (
        '<?xml version="1.0" encoding="utf-8"?>\n<IESTM2714 xmlns="http://www.ies.org/iestm2714" version="1.0">\n'
        " <Header>\n  <Manufacturer>Unknown</Manufacturer>\n  <Description>lamp</Description>\n </Header>\n"
        f" <SpectralDistribution>\n  <SpectralQuantity>{quantity}</SpectralQuantity>\n"
        f"  <BandwidthFWHM>5.0</BandwidthFWHM>\n{data}\n </SpectralDistribution>\n</IESTM2714>\n"
    )
