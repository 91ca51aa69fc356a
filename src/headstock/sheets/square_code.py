"""A square code (QR, ISO/IEC 18004) as SVG."""

from __future__ import annotations

import io


def square_code_svg(text: str) -> str:
    """Black on white, its quiet edge included; a seventh of it may be dirty or torn."""
    import segno

    out = io.BytesIO()
    segno.make(text, error="m", micro=False, boost_error=False).save(out, kind="svg", border=4, light="white", dark="black",
                                                                      svgns=True, xmldecl=False)  # fmt: skip
    return out.getvalue().decode()
