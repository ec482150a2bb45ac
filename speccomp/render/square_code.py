"""The square code on a sheet, as a drawing."""

import base64
import io

import segno

_QUIET_ZONE = 4


def render_square_code(text: str) -> str:
    """
    Return a text as a QR code (ISO/IEC 18004) in a `data:` address.

    About a seventh of it may be dirty or torn (error correction level M), more where it fits.
    """
    code = segno.make(text, error="m", boost_error=True, micro=False)
    output = io.BytesIO()
    code.save(
        output,
        kind="svg",
        border=_QUIET_ZONE,
        xmldecl=False,
        svgclass=None,
        lineclass=None,
        omitsize=True,
    )
    return f"data:image/svg+xml;base64,{base64.b64encode(output.getvalue()).decode('ascii')}"
