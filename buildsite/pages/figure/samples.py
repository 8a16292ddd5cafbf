"""
One sample of all that figures are made of, as matplotlib drew it.

By matplotlib 3.11.2; a test keeps them current. Drawn anew by:
`python -m tests.pages.figure.whole`.
"""

# ruff: noqa: E501 - lines as matplotlib wrote them

SAMPLES = {
    "": (
        "<defs>\n"
        '  <style type="text/css">*{stroke-linejoin: round; stroke-linecap: butt}</style>\n'
        " </defs>\n"
        " <g/>\n"
    ),
    "curve": (
        "<defs>\n"
        '  <style type="text/css">*{stroke-linejoin: round; stroke-linecap: butt}</style>\n'
        " </defs>\n"
        " <g>\n"
        "  <g>\n"
        '   <path d="M 0 320 \n'
        "L 1 319 \n"
        '" style="fill: none; stroke: #14506b; stroke-width: 2; stroke-linecap: square"/>\n'
        "  </g>\n"
        " </g>\n"
    ),
    "curve-before": (
        "<defs>\n"
        '  <style type="text/css">*{stroke-linejoin: round; stroke-linecap: butt}</style>\n'
        " </defs>\n"
        " <g>\n"
        "  <g>\n"
        '   <path d="M 0 320 \n'
        "L 1 319 \n"
        '" style="fill: none; stroke-dasharray: 11.2,3.2,2.4,3.2; stroke-dashoffset: 0; stroke: #1c2326; stroke-width: 1.6"/>\n'
        "  </g>\n"
        " </g>\n"
    ),
    "air-voids": (
        "<defs>\n"
        '  <style type="text/css">*{stroke-linejoin: round; stroke-linecap: butt}</style>\n'
        " </defs>\n"
        " <g>\n"
        "  <g>\n"
        '   <path d="M 0 320 \n'
        "L 1 319 \n"
        '" style="fill: none; stroke-dasharray: 8.4,4.2; stroke-dashoffset: 0; stroke: #57606a; stroke-width: 1.4"/>\n'
        "  </g>\n"
        " </g>\n"
    ),
    "leader": (
        "<defs>\n"
        '  <style type="text/css">*{stroke-linejoin: round; stroke-linecap: butt}</style>\n'
        " </defs>\n"
        " <g>\n"
        "  <g>\n"
        '   <path d="M 0 320 \n'
        "L 1 319 \n"
        '" style="fill: none; stroke: #14506b; stroke-width: 0.7; stroke-linecap: square"/>\n'
        "  </g>\n"
        " </g>\n"
    ),
    "drop": (
        "<defs>\n"
        '  <style type="text/css">*{stroke-linejoin: round; stroke-linecap: butt}</style>\n'
        " </defs>\n"
        " <g>\n"
        "  <g>\n"
        '   <path d="M 0 320 \n'
        "L 1 319 \n"
        '" style="fill: none; stroke-dasharray: 0.9,2.25; stroke-dashoffset: 0; stroke: #57606a; stroke-width: 0.9"/>\n'
        "  </g>\n"
        " </g>\n"
    ),
    "limit": (
        "<defs>\n"
        '  <style type="text/css">*{stroke-linejoin: round; stroke-linecap: butt}</style>\n'
        " </defs>\n"
        " <g>\n"
        "  <g>\n"
        '   <path d="M 0 320 \n'
        "L 1 319 \n"
        '" style="fill: none; stroke-dasharray: 11.2,3.5; stroke-dashoffset: 0; stroke: #96240f; stroke-width: 1.4"/>\n'
        "  </g>\n"
        " </g>\n"
    ),
    "move": (
        "<defs>\n"
        '  <style type="text/css">*{stroke-linejoin: round; stroke-linecap: butt}</style>\n'
        " </defs>\n"
        " <g>\n"
        "  <g>\n"
        '   <path d="M 0 320 \n'
        "L 1 319 \n"
        '" style="fill: none; stroke: #57606a; stroke-width: 1.1; stroke-linecap: square"/>\n'
        "  </g>\n"
        " </g>\n"
    ),
    "point-before": (
        "<defs>\n"
        '  <style type="text/css">*{stroke-linejoin: round; stroke-linecap: butt}</style>\n'
        " </defs>\n"
        " <g>\n"
        "  <g>\n"
        "   <defs>\n"
        '    <path id="m501001e34e" d="M 0 3 \n'
        "C 0.795609 3 1.55874 2.683901 2.12132 2.12132 \n"
        "C 2.683901 1.55874 3 0.795609 3 0 \n"
        "C 3 -0.795609 2.683901 -1.55874 2.12132 -2.12132 \n"
        "C 1.55874 -2.683901 0.795609 -3 0 -3 \n"
        "C -0.795609 -3 -1.55874 -2.683901 -2.12132 -2.12132 \n"
        "C -2.683901 -1.55874 -3 -0.795609 -3 0 \n"
        "C -3 0.795609 -2.683901 1.55874 -2.12132 2.12132 \n"
        "C -1.55874 2.683901 -0.795609 3 0 3 \n"
        "z\n"
        '" style="stroke: #57606a; stroke-width: 1.2"/>\n'
        "   </defs>\n"
        "   <g>\n"
        '    <use xlink:href="#m501001e34e" x="0" y="320" style="fill: #ffffff; stroke: #57606a; stroke-width: 1.2"/>\n'
        "   </g>\n"
        "  </g>\n"
        " </g>\n"
    ),
    "peak-before": (
        "<defs>\n"
        '  <style type="text/css">*{stroke-linejoin: round; stroke-linecap: butt}</style>\n'
        " </defs>\n"
        " <g>\n"
        "  <g>\n"
        "   <defs>\n"
        '    <path id="m5809ef5fb1" d="M -6 0 \n'
        "L 6 0 \n"
        "M 0 6 \n"
        "L 0 -6 \n"
        '" style="stroke: #57606a; stroke-width: 1.2"/>\n'
        "   </defs>\n"
        "   <g>\n"
        '    <use xlink:href="#m5809ef5fb1" x="0" y="320" style="fill: #ffffff; stroke: #57606a; stroke-width: 1.2"/>\n'
        "   </g>\n"
        "  </g>\n"
        " </g>\n"
    ),
    "point": (
        "<defs>\n"
        '  <style type="text/css">*{stroke-linejoin: round; stroke-linecap: butt}</style>\n'
        " </defs>\n"
        " <g>\n"
        "  <g>\n"
        "   <defs>\n"
        '    <path id="m710ddcff26" d="M 0 3.5 \n'
        "C 0.928211 3.5 1.81853 3.131218 2.474874 2.474874 \n"
        "C 3.131218 1.81853 3.5 0.928211 3.5 0 \n"
        "C 3.5 -0.928211 3.131218 -1.81853 2.474874 -2.474874 \n"
        "C 1.81853 -3.131218 0.928211 -3.5 0 -3.5 \n"
        "C -0.928211 -3.5 -1.81853 -3.131218 -2.474874 -2.474874 \n"
        "C -3.131218 -1.81853 -3.5 -0.928211 -3.5 0 \n"
        "C -3.5 0.928211 -3.131218 1.81853 -2.474874 2.474874 \n"
        "C -1.81853 3.131218 -0.928211 3.5 0 3.5 \n"
        "z\n"
        '" style="stroke: #1c2326"/>\n'
        "   </defs>\n"
        "   <g>\n"
        '    <use xlink:href="#m710ddcff26" x="0" y="320" style="fill: #1c2326; stroke: #1c2326"/>\n'
        "   </g>\n"
        "  </g>\n"
        " </g>\n"
    ),
    "second": (
        "<defs>\n"
        '  <style type="text/css">*{stroke-linejoin: round; stroke-linecap: butt}</style>\n'
        " </defs>\n"
        " <g>\n"
        "  <g>\n"
        "   <defs>\n"
        '    <path id="mcba392e559" d="M -3.25 3.25 \n'
        "L 3.25 3.25 \n"
        "L 3.25 -3.25 \n"
        "L -3.25 -3.25 \n"
        "z\n"
        '" style="stroke: #1c2326; stroke-width: 1.2; stroke-linejoin: miter"/>\n'
        "   </defs>\n"
        "   <g>\n"
        '    <use xlink:href="#mcba392e559" x="0" y="320" style="fill: #ffffff; stroke: #1c2326; stroke-width: 1.2; stroke-linejoin: miter"/>\n'
        "   </g>\n"
        "  </g>\n"
        " </g>\n"
    ),
    "rejected": (
        "<defs>\n"
        '  <style type="text/css">*{stroke-linejoin: round; stroke-linecap: butt}</style>\n'
        " </defs>\n"
        " <g>\n"
        "  <g>\n"
        "   <defs>\n"
        '    <path id="m588631604a" d="M 0 4 \n'
        "C 1.060812 4 2.078319 3.578535 2.828427 2.828427 \n"
        "C 3.578535 2.078319 4 1.060812 4 0 \n"
        "C 4 -1.060812 3.578535 -2.078319 2.828427 -2.828427 \n"
        "C 2.078319 -3.578535 1.060812 -4 0 -4 \n"
        "C -1.060812 -4 -2.078319 -3.578535 -2.828427 -2.828427 \n"
        "C -3.578535 -2.078319 -4 -1.060812 -4 0 \n"
        "C -4 1.060812 -3.578535 2.078319 -2.828427 2.828427 \n"
        "C -2.078319 3.578535 -1.060812 4 0 4 \n"
        "z\n"
        '" style="stroke: #1c2326; stroke-width: 1.4"/>\n'
        "   </defs>\n"
        "   <g>\n"
        '    <use xlink:href="#m588631604a" x="0" y="320" style="fill: #ffffff; stroke: #1c2326; stroke-width: 1.4"/>\n'
        "   </g>\n"
        "  </g>\n"
        " </g>\n"
    ),
    "failed": (
        "<defs>\n"
        '  <style type="text/css">*{stroke-linejoin: round; stroke-linecap: butt}</style>\n'
        " </defs>\n"
        " <g>\n"
        "  <g>\n"
        "   <defs>\n"
        '    <path id="m408c9f75b4" d="M -4 4 \n'
        "L 4 -4 \n"
        "M -4 -4 \n"
        "L 4 4 \n"
        '" style="stroke: #96240f; stroke-width: 2.2"/>\n'
        "   </defs>\n"
        "   <g>\n"
        '    <use xlink:href="#m408c9f75b4" x="0" y="320" style="fill: #96240f; stroke: #96240f; stroke-width: 2.2"/>\n'
        "   </g>\n"
        "  </g>\n"
        " </g>\n"
    ),
    "peak": (
        "<defs>\n"
        '  <style type="text/css">*{stroke-linejoin: round; stroke-linecap: butt}</style>\n'
        " </defs>\n"
        " <g>\n"
        "  <g>\n"
        "   <defs>\n"
        '    <path id="mb3d3c0184c" d="M -7 0 \n'
        "L 7 0 \n"
        "M 0 7 \n"
        "L 0 -7 \n"
        '" style="stroke: #1c2326; stroke-width: 1.4"/>\n'
        "   </defs>\n"
        "   <g>\n"
        '    <use xlink:href="#mb3d3c0184c" x="0" y="320" style="fill: #1c2326; stroke: #1c2326; stroke-width: 1.4"/>\n'
        "   </g>\n"
        "  </g>\n"
        " </g>\n"
    ),
    "governing": (
        "<defs>\n"
        '  <style type="text/css">*{stroke-linejoin: round; stroke-linecap: butt}</style>\n'
        " </defs>\n"
        " <g>\n"
        "  <g>\n"
        "   <defs>\n"
        '    <path id="mcc6f590e0b" d="M -0 5.656854 \n'
        "L 5.656854 0 \n"
        "L 0 -5.656854 \n"
        "L -5.656854 -0 \n"
        "z\n"
        '" style="stroke: #14506b; stroke-linejoin: miter"/>\n'
        "   </defs>\n"
        "   <g>\n"
        '    <use xlink:href="#mcc6f590e0b" x="0" y="320" style="fill: #14506b; stroke: #14506b; stroke-linejoin: miter"/>\n'
        "   </g>\n"
        "  </g>\n"
        " </g>\n"
    ),
    "ground": (
        "<defs>\n"
        '  <style type="text/css">*{stroke-linejoin: round; stroke-linecap: butt}</style>\n'
        " </defs>\n"
        " <g>\n"
        "  <g>\n"
        '   <path d="M 0 320 \n'
        "L 1 319 \n"
        '" style="fill: #ffffff"/>\n'
        "  </g>\n"
        " </g>\n"
    ),
    "window": (
        "<defs>\n"
        '  <style type="text/css">*{stroke-linejoin: round; stroke-linecap: butt}</style>\n'
        " </defs>\n"
        " <g>\n"
        "  <g>\n"
        '   <path d="M 0 320 \n'
        "L 1 319 \n"
        '" style="fill: #b5d6b8; opacity: 0.5"/>\n'
        "  </g>\n"
        " </g>\n"
    ),
    "grid": (
        "<defs>\n"
        '  <style type="text/css">*{stroke-linejoin: round; stroke-linecap: butt}</style>\n'
        " </defs>\n"
        " <g>\n"
        "  <g>\n"
        '   <path d="M 0 320 \n'
        "L 1 319 \n"
        '" style="fill: none; stroke: #dfe3e6; stroke-width: 0.8; stroke-linejoin: miter"/>\n'
        "  </g>\n"
        " </g>\n"
    ),
    "ticks": (
        "<defs>\n"
        '  <style type="text/css">*{stroke-linejoin: round; stroke-linecap: butt}</style>\n'
        " </defs>\n"
        " <g>\n"
        "  <g>\n"
        '   <path d="M 0 320 \n'
        "L 1 319 \n"
        '" style="fill: none; stroke: #57606a; stroke-width: 0.8; stroke-linejoin: miter"/>\n'
        "  </g>\n"
        " </g>\n"
    ),
    "left": (
        "<defs>\n"
        '  <style type="text/css">*{stroke-linejoin: round; stroke-linecap: butt}</style>\n'
        " </defs>\n"
        " <g>\n"
        '  <text style="font-size: 12px; font-family: sans-serif; text-anchor: start; fill: #1c2326" x="0" y="320" transform="rotate(0 0 320)"/>\n'
        " </g>\n"
    ),
    "center": (
        "<defs>\n"
        '  <style type="text/css">*{stroke-linejoin: round; stroke-linecap: butt}</style>\n'
        " </defs>\n"
        " <g>\n"
        '  <text style="font-size: 12px; font-family: sans-serif; text-anchor: middle; fill: #1c2326" x="0" y="320" transform="rotate(0 0 320)"/>\n'
        " </g>\n"
    ),
    "right": (
        "<defs>\n"
        '  <style type="text/css">*{stroke-linejoin: round; stroke-linecap: butt}</style>\n'
        " </defs>\n"
        " <g>\n"
        '  <text style="font-size: 12px; font-family: sans-serif; text-anchor: end; fill: #1c2326" x="0" y="320" transform="rotate(0 0 320)"/>\n'
        " </g>\n"
    ),
}
