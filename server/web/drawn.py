"""Drawings and codes as SVG that stands alone: on paper and in an archive there is no style sheet."""

import io

import segno
from markupsafe import Markup

_STYLE = (
    "text{font-family:B612,sans-serif;font-size:14px;fill:#111;stroke:#fff;stroke-width:3px;stroke-linejoin:round;"
    "paint-order:stroke}"
    ".o{fill:none;stroke:#111;stroke-width:1.8;stroke-linejoin:round}.solid{fill:#fff}"
    ".thin{fill:none;stroke:#555;stroke-width:1}.arrow{fill:#555;stroke:none}"
    ".centre{fill:none;stroke:#555;stroke-width:1;stroke-dasharray:14 3 2 3}"
    ".before{fill:none;stroke:#111;stroke-width:1.4;stroke-dasharray:6 4}"
    ".hatch-a{fill:url(#hatch-a)}.hatch-b{fill:url(#hatch-b)}"
    ".zone{fill:url(#hatch-zone);stroke:#111;stroke-width:1.2}"
    ".doubt{fill:none;stroke:#111;stroke-width:2.4}.dot{fill:#111;stroke:none}"
    "path.against,path.proven{fill:none;stroke:#111;stroke-width:2.4}path.against{stroke-dasharray:2 2}"
    ".t-small{font-size:13px}.t-large{font-size:17px}.t-bold{font-weight:700}.middle{text-anchor:middle}.end{text-anchor:end}"
)
_HATCHING = "".join(
    f'<pattern id="{name}" width="{step}" height="{step}" patternUnits="userSpaceOnUse" '
    f'patternTransform="rotate({turn})"><path d="M0 0V{step}" stroke="#555" stroke-width="1" fill="none"/></pattern>'
    for name, step, turn in (("hatch-a", 7, 45), ("hatch-b", 7, -45), ("hatch-zone", 5, 45))
)


def standalone(svg: Markup) -> str:
    """A drawing of diagrams.py with its own lines and hatching, black on white."""
    opened, rest = str(svg).split(">", 1)
    named = opened.replace("<svg ", '<svg xmlns="http://www.w3.org/2000/svg" ', 1)
    return f"{named}><style>{_STYLE}</style><defs>{_HATCHING}</defs>{rest}"


def qr_code(text: str) -> str:
    """A QR code (ISO/IEC 18004, error correction level M) as SVG."""
    written = io.BytesIO()
    segno.make(text, error="m", micro=False).save(written, kind="svg", border=4, xmldecl=False, nl=False)
    return written.getvalue().decode()
