"""What a table or a first entry holds when a builder adds it at the desk: values to read and to change."""

from __future__ import annotations

from typing import Any

import tomlkit

# Common practice, no source: sizes of light craft, to be replaced by the builder's own.
TEXTS: dict[str, str] = {
    "craft.load": '[[x]]\nname = "full"\nmass = "650 kg"\nx = "2.3 m"\nz = "600 mm"\n',
    "craft.load.items": '[[x]]\nname = "hull"\nmass = "200 kg"\nx = "2.3 m"\nz = "400 mm"\n',
    "skirt.bow": '[x]\njoint_inside = "75 mm"\n',
    "skirt.side": '[x]\ntip_inside = "50 mm"\n',
    "skirt.stern": '[x]\ntip_inside = "50 mm"\n',
    "skirt.corner": '[x]\nbow = "full"\nstern = "full"\n',
    "skirt.diaphragm": "[x]\nmargin = 0.15\n",
    "hull.skids": '[x]\nheight = "40 mm"\ninboard = "300 mm"\n',
    "hull.bottom": '[x]\nside = "300 mm"\n',
    "hull.fixing": '[x]\nside = { height = "30 mm", inboard = "140 mm" }\n',
    "hull.fixing.line": '[[x]]\nx = "4 m"\ny = "0.9 m"\nheight = "30 mm"\n',
    "skirt.station": '[[x]]\nat = "2 m"\nwhat = "add"\n',
    "layout.roll": '[[x]]\ncloth = "segment"\nname = "leftover"\nwidth = "1 m"\nlength = "4 m"\n',
    "air.gap_by_run": '[x]\nbow = "0 mm"\n',
    "air.day": '[[x]]\nname = "hot day"\naltitude = "0 m"\ntemperature = "35 degC"\n',
    "air.surface": '[[x]]\nname = "short grass"\ngap = "15 mm"\nroughness = "10 mm"\n',
    "air.leak": '[[x]]\nname = "drains"\ndiameter = "25 mm"\ncount = 2\nplace = "loop"\n',
    "air.loss": '[[x]]\nkind = "guard"\ndiameter = "640 mm"\nopen_share = 0.85\n',
    "air.fan": '[x]\ndiameter = "600 mm"\nspeed = "2400 rpm"\nfree_flow = "4 m3/s"\nshut_off = "1400 Pa"\n',
    "air.fan.points": '[[x]]\nflow = "0 m3/s"\npressure = "1300 Pa"\n',
    "air.water": '[x]\nfloat_area = "7 m2"\nfloat_length = "4 m"\nhole_height = "60 mm"\n',
    "air.battery": '[x]\nvoltage = "48 V"\ncapacity = "60 Ah"\n',
}


def starter(path: str) -> Any:
    """Return the tomlkit table, or list of one table, that starts `path`; an empty table where none is kept."""
    text = TEXTS.get(path)
    return tomlkit.table() if text is None else tomlkit.parse(text + "\n")["x"]
