"""What every key of the design file means, in a builder's words: a short name and one sentence.

Keys of tables that occur more than once are listed once, as in `defaults`: ``cloth.mass`` for ``cloth.loop.mass`` and
``cloth.segment.mass``, ``skirt.RUN.tip_inside`` for ``skirt.bow.tip_inside`` and its like.
"""

from __future__ import annotations

import re
from dataclasses import dataclass


@dataclass(frozen=True)
class Meaning:
    """A short name for a key and a sentence on what it is."""

    label: str
    says: str


_SHARED = (
    (re.compile(r"^cloth\.(loop|segment)\."), "cloth."),
    (re.compile(r"^skirt\.(bow|side|stern)\."), "skirt.RUN."),
    (re.compile(r"^hull\.fixing\.line\."), "hull.edge."),
    (re.compile(r"^hull\.fixing\.(bow|side|stern)\."), "hull.fixing.RUN."),
    (re.compile(r"^hull\.bottom\.(bow|side|stern)$"), "hull.bottom.RUN"),
    (re.compile(r"^air\.gap_by_run\.(bow|side|stern)$"), "air.gap_by_run.RUN"),
    (re.compile(r"^air\.kinds\.[a-z_]+\."), "air.kinds.KIND."),
    (re.compile(r"^skirt\.joint_line\.(x|y|run|radius|through)$"), r"hull.edge.\1"),
)


def meaning(path: str) -> Meaning:
    """Return the meaning of a key by its path without indices, ``hull.edge.x``.

    Raises
    ------
    KeyError
        The key has none.
    """
    if path in MEANINGS:
        return MEANINGS[path]
    for pattern, shared in _SHARED:
        made = pattern.sub(shared, path)
        if made != path and made in MEANINGS:
            return MEANINGS[made]
    raise KeyError(path)


MEANINGS: dict[str, Meaning] = {
    "project.name": Meaning("Name", "Name of the craft, for the title block of every sheet."),
    "project.revision": Meaning("Revision", "The next letter whenever you cut from a changed file."),
    "project.date": Meaning("Date", "Year-month-day of this revision; no clock is read."),
    "project.show": Meaning("Units shown", "Units in words and on drawings: metric, imperial or both."),
    "craft.load.name": Meaning("Name", "What this load is called in reports."),
    "craft.load.mass": Meaning("Mass", "Everything that lifts off: hull, engine, crew, fuel, water in the bilge."),
    "craft.load.x": Meaning("Centre, forward", "Centre of mass, forward of the stern."),
    "craft.load.y": Meaning("Centre, to port", "Centre of mass, to port of the centre line."),
    "craft.load.z": Meaning("Centre, up", "Centre of mass, above the flat of the hull bottom."),
    "craft.load.items": Meaning("Items", "Things on board whose masses and centres are summed to this load."),
    "craft.load.items.name": Meaning("Name", "What this thing is."),
    "craft.load.items.mass": Meaning("Mass", "Of this thing as it goes aboard."),
    "craft.load.items.x": Meaning("Forward", "Its centre, forward of the stern."),
    "craft.load.items.y": Meaning("To port", "Its centre, to port of the centre line."),
    "craft.load.items.z": Meaning("Up", "Its centre, above the flat of the hull bottom."),
    "hull.clearance": Meaning("Clearance", "Flat of the bottom above the ground when the tips just touch."),
    "hull.edge.x": Meaning("Forward", "Place of this point, forward of the stern."),
    "hull.edge.y": Meaning("To port", "Place of this point, to port of the centre line."),
    "hull.edge.height": Meaning("Height", "Above the flat of the bottom; between points it changes evenly."),
    "hull.edge.run": Meaning("Run from here", "What the piece to the next point is; the last point has none."),
    "hull.edge.radius": Meaning("Radius", "Rounds the line at this point, seen from above."),
    "hull.edge.through": Meaning("Arc through", "Makes the piece to the next point an arc through this place."),
    "hull.fixing.RUN.height": Meaning("Fixing, height", "Inner fixing of a hull that exists, above the flat bottom."),
    "hull.fixing.RUN.inboard": Meaning("Fixing, inboard", "How far inside the hull edge the inner fixing is."),
    "hull.bottom.RUN": Meaning("Flat inside by", "How far the edge of the flat bottom lies inside the hull edge."),
    "skirt.depth": Meaning("Depth", "Joint above the ground: the height of the segments."),
    "skirt.face_angle": Meaning("Face angle", "Slope of the outer face to the ground."),
    "skirt.tip_angle": Meaning("Tip angle", "Corner of the web at the ground."),
    "skirt.inner.drop": Meaning("Inner fixing, below", "How far below the joint the segment is tied to the hull."),
    "skirt.inner.inboard": Meaning("Inner fixing, inboard", "How far inboard of the joint the segment is tied."),
    "skirt.weight": Meaning("Cloth weight", "Whether the weight of the cloth is in the balance of the sections."),
    "skirt.pitch": Meaning("Pitch", "Wanted width of a segment; a whole number is fitted to every run."),
    "skirt.stations_per_corner": Meaning("Stations per corner", "Sections in 90 deg of a corner; more is smoother."),
    "skirt.RUN.tip_inside": Meaning("Tip inside", "How far the ground line lies inside the hull edge."),
    "skirt.RUN.joint_inside": Meaning("Joint inside", "How far the joint lies inside the hull edge."),
    "skirt.RUN.depth": Meaning("Depth here", "Height of the segments of this run, where it is its own."),
    "skirt.RUN.face_angle": Meaning("Face angle here", "Slope of the outer face of this run, where it is its own."),
    "skirt.RUN.tip_angle": Meaning("Tip angle here", "Corner of the web at the ground, where it is its own."),
    "skirt.RUN.inner.drop": Meaning("Inner fixing, below", "Below the joint, where this run has its own."),
    "skirt.RUN.inner.inboard": Meaning("Inner fixing, inboard", "Inboard of the joint, where this run has its own."),
    "skirt.corner.bow": Meaning("Radius, bow", "Of the joint line where bow meets side."),
    "skirt.corner.side": Meaning("Radius, side", "Of the joint line where two side pieces meet at an angle."),
    "skirt.corner.stern": Meaning("Radius, stern", "Of the joint line where side meets stern."),
    "air.gap": Meaning("Gap", "Mean daylight under the tips that you want on hard ground."),
    "air.altitude": Meaning("Altitude", "Where the craft runs, above the sea."),
    "air.temperature": Meaning("Temperature", "Of the air; warm air is thin and asks for more flow."),
    "air.discharge": Meaning("Discharge", "Share of the gap that the jet fills as it escapes."),
    "air.fan_efficiency": Meaning("Fan efficiency", "For the screening figure only, where there is no fan below."),
    "air.drive_efficiency": Meaning("Drive efficiency", "Of belt or gearbox between engine and fan."),
    "air.losses": Meaning("Losses", "Pressure at the fan over pressure in the cushion, for the screening figure."),
    "air.reserve": Meaning("Reserve", "Engine power over that of calm, smooth ground."),
    "air.least_gap": Meaning("Least gap", "Below it the tips drag."),
    "air.roughness": Meaning("Roughness", "Rms height of the ground; 0 is a smooth floor."),
    "air.lift_share": Meaning("Share for lift", "Below 1 where a splitter sends the rest of the air to thrust."),
    "air.feed_drop": Meaning("Drop in feed holes", "Pressure spent in the feed holes over cushion pressure."),
    "air.engine_power": Meaning("Engine power", "What the engine can spare for lift, into belt or gearbox."),
    "air.gap_by_run.RUN": Meaning("Tips higher by", "How much higher than the common gap these tips hang."),
    "air.day.name": Meaning("Name", "What this day is called in tables."),
    "air.day.altitude": Meaning("Altitude", "Above the sea on this day."),
    "air.day.temperature": Meaning("Temperature", "Of the air on this day."),
    "air.surface.name": Meaning("Name", "What this ground is called in tables."),
    "air.surface.gap": Meaning("Gap", "Wanted above the mean plane of this ground."),
    "air.surface.roughness": Meaning("Roughness", "Rms height of this ground."),
    "air.leak.name": Meaning("Name", "What leaks."),
    "air.leak.area": Meaning("Area", "Of one opening."),
    "air.leak.diameter": Meaning("Diameter", "Of one round opening, in place of its area."),
    "air.leak.count": Meaning("Count", "How many there are."),
    "air.leak.discharge": Meaning("Discharge", "Share of the opening that the jet fills."),
    "air.leak.place": Meaning("Leaves the", "Whether the air leaves from the loop or from the cushion."),
    "air.loss.kind": Meaning("Kind", "What stands in the way of the air."),
    "air.loss.name": Meaning("Name", "What it is called in tables."),
    "air.loss.area": Meaning("Area", "Of the passage, or of one hole."),
    "air.loss.diameter": Meaning("Diameter", "Of a round passage or hole, in place of its area."),
    "air.loss.count": Meaning("Count", "How many there are."),
    "air.loss.factor": Meaning("Loss factor", "Yours in place of the handbook's: loss over dynamic pressure."),
    "air.loss.share": Meaning("Share", "Share of the air at its place that goes this way."),
    "air.loss.open_share": Meaning("Open share", "Of a guard: the part that is not wire."),
    "air.loss.edge": Meaning("Edge", "Shape of an inlet."),
    "air.loss.bend": Meaning("Bend", "How a bend is made."),
    "air.loss.length": Meaning("Length", "Of a duct."),
    "air.loss.free_area": Meaning("Free area", "What the frames leave of the passage."),
    "air.loss.discharge": Meaning("Discharge", "Share of a hole that the jet fills."),
    "air.loss.place": Meaning("Place", "Before the fan, between fan and skirt, or at the feed."),
    "air.fan.diameter": Meaning("Diameter", "Of the fan on this craft."),
    "air.fan.speed": Meaning("Speed", "Of the fan as geared here."),
    "air.fan.tested_diameter": Meaning("Tested diameter", "Of the fan that was tested."),
    "air.fan.tested_speed": Meaning("Tested speed", "At which the points were taken."),
    "air.fan.tested_density": Meaning("Tested density", "Of the air in the test."),
    "air.fan.blades": Meaning("Blades", "What they are made of: it limits their tip speed."),
    "air.fan.pressure_kind": Meaning("Pressure is", "Whether the test gives total or static pressure."),
    "air.fan.outlet_area": Meaning("Outlet area", "Of the fan, to make static pressure total."),
    "air.fan.points.flow": Meaning("Flow", "Of a tested point."),
    "air.fan.points.pressure": Meaning("Pressure", "Rise through the fan at that flow."),
    "air.fan.points.power": Meaning("Power", "Into the shaft at that flow."),
    "air.fan.free_flow": Meaning("Free flow", "With nothing in the way: for a guess of the curve without points."),
    "air.fan.shut_off": Meaning("Shut-off pressure", "With nothing let through; the other end of that guess."),
    "air.water.float_area": Meaning("Bottom area", "Flat of the bottom that floats."),
    "air.water.float_length": Meaning("Bottom length", "Of that flat."),
    "air.water.hole_height": Meaning("Holes, up", "Lower edge of the feed holes above the flat of the bottom."),
    "air.water.aboard": Meaning("Water aboard", "In bilge and skirt before she lifts."),
    "air.water.kind": Meaning("Water", "Fresh or salt."),
    "air.battery.voltage": Meaning("Voltage", "Of the cells at rest."),
    "air.battery.capacity": Meaning("Capacity", "As the cells are rated."),
    "air.battery.usable": Meaning("Usable", "Share of the capacity that you take out."),
    "air.battery.resistance": Meaning("Resistance", "Of cells and leads together."),
    "air.battery.motor_efficiency": Meaning("Motor efficiency", "Near its best point."),
    "air.battery.controller_efficiency": Meaning("Controller efficiency", "Of the motor controller."),
    "air.battery.duration": Meaning("Time wanted", "The trip that the battery has to last."),
    "air.kinds.KIND.leakage": Meaning("Leakage", "Flow into the skirt over flow through the gap: low, best, high."),
    "air.kinds.KIND.mouth_ratio": Meaning("Mouth ratio", "Mouths of the segments over the gap: low, best, high."),
    "air.kinds.KIND.mouth_factor": Meaning("Mouth factor", "Loss factor of a mouth: low, best, high."),
    "air.kinds.KIND.duct_loss": Meaning("Duct loss", "Over cushion pressure: low, best, high."),
    "air.kinds.KIND.bag_ratio": Meaning("Bag ratio", "Bag pressure over cushion pressure: low, best, high."),
    "air.kinds.KIND.hole_ratio": Meaning("Hole ratio", "Feed holes over the gap: low, best, high."),
    "air.kinds.KIND.hole_discharge": Meaning("Hole discharge", "Of the feed holes: low, best, high."),
    "air.kinds.KIND.plenum_loss": Meaning("Plenum loss", "Over cushion pressure: low, best, high."),
    "air.kinds.KIND.fan_efficiency": Meaning("Fan efficiency", "Assumed for this kind: low, best, high."),
    "air.kinds.KIND.drive_efficiency": Meaning("Drive efficiency", "Assumed for this kind: low, best, high."),
    "cloth.mass": Meaning("Mass", "Of the finished cloth with its coating."),
    "cloth.roll_width": Meaning("Roll width", "Usable width of the roll."),
    "cloth.warp": Meaning("Warp", "Runs along the skirt, or around the section (down the face)."),
    "cloth.face_side": Meaning("One side out", "One side must face out, so left and right pieces are kept apart."),
    "making.seam": Meaning("Seam", "Lap between loop panels, and of face to web."),
    "making.hull_edge": Meaning("Hull edge", "Top hem, folded under the edge strip."),
    "making.joint": Meaning("Joint", "Cloth beyond the joint: it carries the row of bolts."),
    "making.hem": Meaning("Hem", "Free edges of the webs."),
    "making.tip_trim": Meaning("Tip trim", "Left on below the finished tip, to trim at the first hover."),
    "making.hole": Meaning("Hole", "Diameter of the holes for bolts and ties."),
    "making.hole_pitch": Meaning("Hole pitch", "Wanted spacing along the joint."),
    "making.hole_edge": Meaning("Hole to edge", "Centre of a hole to the cut edge."),
    "making.paper": Meaning("Paper", "For tiled templates."),
    "making.printer_x": Meaning("Printer, across", "What the test page's rule of 100 measures, over 100."),
    "making.printer_y": Meaning("Printer, along", "The same down the page."),
}
