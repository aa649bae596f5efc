"""QR codes (ISO/IEC 18004) that lead from a sheet of paper to its page."""

from __future__ import annotations


def qr_code(address: str) -> str:
    """Return an address as a QR code in SVG, its quiet zone of 4 modules kept; empty for no address."""
    if not address:
        return ""
    import segno

    svg: str = segno.make(address, error="m", micro=False).svg_inline(border=4, omitsize=True)
    return svg
