"""Every default of the design file, in one place, with its reason and where it comes from.

`model.py` takes its defaults from here; a key that is not listed here has no default and must be written. Keys of
tables that occur more than once are listed once: ``cloth.warp`` for ``cloth.loop.warp`` and ``cloth.segment.warp``.
"""

from __future__ import annotations

from dataclasses import dataclass

TRADE = "common practice, no source"
OURS = "choice of this program"
STUDY = "our own study: six corners of .75 m radius flattened, sewn and inflated by computation"


@dataclass(frozen=True)
class Default:
    """A default as it would be written in the file.

    Parameters
    ----------
    value : str, int, float or bool
        TOML value: quantities as text with their unit.
    reason : str
        One sentence.
    source : str
        Citation, or "common practice, no source", or "choice of this program".
    """

    value: str | int | float | bool
    reason: str
    source: str


MEMORY = "from memory, not looked up"

DIAPHRAGM: dict[str, Default] = {
    "skirt.diaphragm.margin": Default(0.2, "Middle of 0.15 to 0.25: covers load, heave and sewing.", TRADE),
    "skirt.diaphragm.feed": Default(
        "through", "Holes for all the lift air cost little where they are not needed.", OURS
    ),
    "skirt.diaphragm.cloth": Default("200 g/m2", "Light coated cloth: it is not in the wear.", OURS),
    "skirt.diaphragm.stretch": Default(
        "50 kN/m", "Pull per unit stretch of an inflation model, not of a tested cloth.", OURS
    ),
    "skirt.diaphragm.steepness": Default(
        0.3, "A diaphragm nearer to the line from joint to inner fixing pulls without bound.", f"derived; limit: {OURS}"
    ),
    "skirt.diaphragm.heave": Default(0.5, "Upward acceleration, in g, at which it must stay taut.", OURS),
    "skirt.diaphragm.pressure_share": Default(
        0.5, "Share of the design pressure at which it must stay taut in that heave.", OURS
    ),
    "skirt.diaphragm.lip_suction": Default(
        "3 mm", "Pull on the lip over pressure: 0.3 over a lip of 10 mm; assumed, unmeasured.", OURS
    ),
    "skirt.diaphragm.imperfection": Default(0.0, "No further share for sewing and lengths that are off.", OURS),
    "skirt.diaphragm.over_pressure": Default(
        0.02, "Loop over cushion pressure allowed where the lift air passes the vents.", OURS
    ),
    "skirt.diaphragm.lag": Default(0.01, "Difference of loop and cushion allowed, share of the swing.", OURS),
    "skirt.diaphragm.swing": Default(0.3, "Pressure swing of a bouncing cushion over its mean.", OURS),
    "skirt.diaphragm.frequency": Default(
        "9 Hz", "Upper end of 5 to 9 Hz of a bouncing skirt.", "derived: our own model of bounce, not measured"
    ),
    "hull.skids.height": Default("0 mm", "Without skids she sits on the flat of the bottom.", OURS),
}

FITTINGS: dict[str, Default] = {
    "making.stitch": Default("301", "Lockstitch of ISO 4915, what a sewing machine at home makes.", TRADE),
    "making.stitch_length": Default("4.5 mm", "Middle of 4 to 5 mm: shorter stitches tear like a stamp.", TRADE),
    "making.rows": Default(2, "Two rows of stitches 6 to 8 mm apart.", TRADE),
    "making.join": Default("glued and sewn", "Stitches stop peel, glue carries the shear and seals.", TRADE),
    "making.shock": Default(3.0, "Pressure of a slap over that of hover; no published factor was found.", TRADE),
    "making.fittings.bolt": Default("6.5 g", "M5 bolt 16 mm long with nut and two washers.", MEMORY),
    "making.fittings.tie": Default("3 g", "One tie at an inner fixing.", MEMORY),
    "making.fittings.strip": Default("162 g/m", "Aluminium strip 20 x 3 mm at 2700 kg/m3.", f"derived; size: {OURS}"),
    "making.fittings.thread": Default("90 tex", "Thread of the middle size.", TRADE),
    "making.fittings.glue": Default("200 g/m2", "Dry glue on a lap, both sides.", MEMORY),
}

EXTRAS: dict[str, Default] = {
    "making.patch": Default("30 mm", "A patch reaches this far beyond the tab of the tie hole it backs.", TRADE),
    "making.seams.loop": Default("lapped", "Seams of the loop lie flat: ISO 4916 class 2, glued and two rows.", TRADE),
    "making.seams.face": Default(
        "superimposed", "Edge on edge, both allowances inside the segment: ISO 4916 class 1.", TRADE
    ),
    "making.seams.hem": Default("turned", "Free edges are turned once and stitched: ISO 4916 class 6.", TRADE),
    "making.seams.hull": Default("turned", "The hull edge is turned under its strip: ISO 4916 class 6.", TRADE),
    "making.seams.binding": Default("12 mm", "Finished width of a binding, wide enough for its stitches.", OURS),
    "making.spares.share": Default(0.1, "One spare for ten, of every kind of segment.", TRADE),
    "making.spares.least": Default(6, "Ten in the hundred, or six, whichever is more.", TRADE),
    "making.spares.corner": Default(2, "Two segments of every corner are among the spares.", TRADE),
    "making.wear.height": Default("100 mm", "The part of the face that touches ground and water.", OURS),
    "making.wear.inset": Default("6 mm", "Clear of the seam, so that it comes off without opening that.", OURS),
    "making.back.form": Default("flap", "A flap costs less lift in waves than a closed back.", TRADE),
    "making.back.height": Default("100 mm", "Height of the flap from the tip.", OURS),
    "making.back.opening": Default("80 mm", "A closed back leaves this much open at the inner fixing, for air.", OURS),
    "making.back.corners": Default(False, "Only the stern run scoops when she drives ahead.", OURS),
    "making.hull_band.width": Default("40 mm", "As the hem under the edge strip.", TRADE),
    "making.spray_flap.drop": Default("80 mm", "Covers the gaps between the tops of the segments.", OURS),
    "making.spray_flap.runs": Default("bow", "Spray starts at the bow and its corners.", TRADE),
    "making.drains.count": Default(4, "Three or more, low and aft.", TRADE),
    "making.drains.length": Default("40 mm", "Slits of 20 to 40 mm.", TRADE),
    "making.drains.above": Default("30 mm", "Above the joint, clear of its bolts and washers.", OURS),
    "making.loop_ties.spacing": Default("1.5 m", "One every 1 to 2 m.", TRADE),
    "making.loop_ties.width": Default("50 mm", "Wide enough to spread its pull.", OURS),
    "making.covers.width": Default("45 mm", "Cover strips of 40 to 50 mm.", TRADE),
}

DEFAULTS: dict[str, Default] = {
    "project.revision": Default("A", "A first issue is revision A.", OURS),
    "project.show": Default("metric", "Cutters and plotters work in millimetres.", OURS),
    "craft.load.y": Default("0 m", "A load is taken to lie on the centre line unless its side is told.", OURS),
    "craft.load.items.y": Default("0 m", "An item is taken to lie on the centre line unless its side is told.", OURS),
    "skirt.face_angle": Default(
        "45 deg", "At 45 deg the inner fixing that the face needs lies nearest to the joint.", f"derived; {TRADE}"
    ),
    "skirt.tip_angle": Default(
        "90 deg", "A right angle at the tip keeps the face in tension: below it the face puckers.", f"derived; {TRADE}"
    ),
    "skirt.inner.drop": Default(
        "0 mm", "The inner fixing is level with the joint: the trade's web, upper edge level.", TRADE
    ),
    "skirt.inner.tight": Default(
        "shorten", "In a tight corner webs would cross; shorter ones hold the face as long as the tip rules hold.", OURS
    ),
    "skirt.weight": Default(True, "Cloth weight lowers a side joint by a centimetre or so.", "derived"),
    **DIAPHRAGM,
    "skirt.stations_per_corner": Default(
        7, "A station at least every 15 deg keeps corner panels within cutting tolerance.", OURS
    ),
    "skirt.station.what": Default("add", "A station more moves no other.", OURS),
    "air.gap": Default("10 mm", "Middle of the design check at 5, 10 and 20 mm of daylight.", TRADE),
    "air.altitude": Default("0 m", "Most craft fly at sea level.", OURS),
    "air.temperature": Default("15 degC", "Sea-level temperature of the standard atmosphere.", "ISO 2533:1975"),
    "air.fan_efficiency": Default(0.5, "Middle of 0.4 to 0.65 seen on light lift fans.", TRADE),
    "air.drive_efficiency": Default(0.9, "Belt or gearbox.", TRADE),
    "air.losses": Default(1.3, "Ducts and feed holes ask 20 to 50 % more pressure than the cushion.", TRADE),
    "air.reserve": Default(1.5, "Engines are chosen with 1.5 to 2 times the power that calm ground needs.", TRADE),
    "air.least_gap": Default("3 mm", "Below it the tips drag on a good floor.", OURS),
    "air.roughness": Default("0 mm", "A smooth floor: rms height of the ground.", OURS),
    "air.lift_share": Default(1.0, "The fan blows for lift only; a splitter leaves about a third.", TRADE),
    "air.feed_drop": Default(0.35, "Pressure spent in the feed holes over cushion pressure, 20 to 50 %.", TRADE),
    "air.gap_by_run.bow": Default("0 mm", "All tips hang equally high.", OURS),
    "air.gap_by_run.side": Default("0 mm", "All tips hang equally high.", OURS),
    "air.gap_by_run.stern": Default("0 mm", "All tips hang equally high.", OURS),
    "air.surface.roughness": Default("0 mm", "A smooth floor.", OURS),
    "air.leak.count": Default(1, "One opening.", OURS),
    "air.leak.discharge": Default(0.6, "Sharp-edged hole in thin cloth or sheet.", TRADE),
    "air.leak.place": Default("cushion", "Most leaks, corner gaps and low drains, leave the cushion.", OURS),
    "air.loss.share": Default(1.0, "All the air at its place goes this way.", OURS),
    "air.fan.tested_density": Default("1.2 kg/m3", "Standard air of fan catalogues.", "ISO 5801, from memory"),
    "air.fan.blades": Default("plastic", "Moulded blades have the lower speed limit.", TRADE),
    "air.fan.pressure_kind": Default("total", "What the losses are taken from.", OURS),
    "air.water.aboard": Default("0 kg", "Dry: no water has come aboard.", OURS),
    "air.water.kind": Default("fresh", "The craft floats a little deeper in it.", OURS),
    "air.battery.usable": Default(0.8, "The rest spares the cells.", TRADE),
    "air.battery.resistance": Default("0 ohm", "Cells and leads that lose nothing: give what you measure.", OURS),
    "air.battery.motor_efficiency": Default(0.88, "Brushless motor near its best point.", TRADE),
    "air.battery.controller_efficiency": Default(0.96, "Motor controller.", TRADE),
    "air.battery.duration": Default("10 min", "The shortest trip worth the trouble.", OURS),
    "bounce.flow_share": Default(1.0, "All the lift air comes through the loop.", OURS),
    "bounce.mouth_open": Default(1.0, "The loop is open below: webs are thin, and no diaphragm is in the way.", OURS),
    "bounce.mouth_discharge": Default(0.6, "Of a sharp-edged opening.", TRADE),
    "bounce.fan_steepness": Default(1.5, "Middle of the 0.5 to 4 of lift fans on their falling side.", OURS),
    "bounce.lip_strength": Default(0.0, "Suction under rounded tips has no source, so it is left out.", OURS),
    "bounce.lip_length": Default("10 mm", "Length of a tip's rounding; counts only with lip_strength.", OURS),
    "balance.ballast": Default("20 kg", "A sack of sand or a can of water.", OURS),
    "balance.movable.y": Default("0 m", "It is taken to stand on the centre line unless its side is told.", OURS),
    "under_way.thrust_height": Default("0.9 m", "Middle of a propeller that clears the deck.", TRADE),
    "under_way.water": Default("fresh", "Lighter than salt water: the hump is a little higher in it.", OURS),
    "cloth.roll_width": Default("1.37 m", "54 in, the narrowest common roll: what fits it fits the others.", TRADE),
    "cloth.warp": Default(
        "along", "Along the skirt the pieces are longest, so fewer seams fall across the pull.", TRADE
    ),
    "cloth.face_side": Default(True, "Coated cloth has a side that faces out.", OURS),
    "cloth.one_way": Default(False, "Plain weave pulls and looks alike from both ends of the roll.", OURS),
    "making.seam": Default("25 mm", "One-inch lap, or as much on either side of a superimposed seam.", TRADE),
    "making.hull_edge": Default("40 mm", "Top hem of 30 to 40 mm, folded under the edge strip.", TRADE),
    "making.joint": Default("25 mm", "Room for the row of joint bolts outside the sewn line.", TRADE),
    "making.hem": Default("15 mm", "A single turned hem on the free edges of the webs.", TRADE),
    "making.tip_trim": Default("15 mm", "Left on below the finished tip, to trim at the first hover.", TRADE),
    "making.tip_change": Default("0 mm", "Segments are cut down to the drawn tip plane.", OURS),
    "making.level": Default("10 mm", "Joint and tips this near to level pass, inflated as sewn.", OURS),
    "making.hole": Default("6 mm", "Passes an M5 bolt or a 5 mm tie.", TRADE),
    "making.hole_pitch": Default("60 mm", "Fixing pitch of 50 to 75 mm on an edge strip.", TRADE),
    "making.hole_edge": Default("15 mm", "Nearer than 15 mm to the cut edge a bolt tears out.", TRADE),
    **FITTINGS,
    **EXTRAS,
    "making.paper": Default("A4", "The sheet of most home printers.", OURS),
    "making.loop.pattern": Default("exact", "It inflates two to three times nearer to the drawn shape.", STUDY),
    "making.loop.thread_strain": Default(
        0.02, "Seven stations in a usual quarter turn keep it; the cloth then stands off by 5 mm at most.", STUDY
    ),
    "making.loop.deviation": Default("5 mm", "About what cutting and sewing put in.", OURS),
    "making.loop.corner_end": Default("section", "Straight panels stay rectangles to measure and mark.", OURS),
    "making.loop.weft": Default(0.8, "Coated plain weave, weft a little softer: assumed.", OURS),
    "making.loop.shear": Default(0.05, "Coated cloth shears twenty times as easily as it stretches: assumed.", OURS),
    "making.loop.contraction": Default(0.2, "Poisson's ratio of coated plain weave: assumed.", OURS),
    "making.printer_x": Default(1.0, "No correction until the printed test page has been measured.", OURS),
    "making.printer_y": Default(1.0, "No correction until the printed test page has been measured.", OURS),
    "materials.thread_spare": Default(1.25, "Thread ends, bobbins and seams unpicked.", OURS),
    "materials.glue": Default("300 g/m2", "Two to three thin coats on both faces of the lap.", "from memory"),
    "prices.currency": Default("", "No currency is assumed.", OURS),
    "prices.per": Default("1 m", "Cloth is sold by the metre off the roll; in yards write 3 ft.", TRADE),
    "layout.gap": Default("6 mm", "Room for a knife or hot knife between two pieces.", TRADE),
    "layout.margin": Default("10 mm", "Selvedges are thick, marked or bare of coating.", TRADE),
}

# Assumptions of the comparison of skirt kinds that the file may replace, by kind.
KIND_KEYS: dict[str, tuple[str, ...]] = {
    "loop_and_segment": ("leakage", "mouth_ratio", "mouth_factor", "duct_loss", "fan_efficiency", "drive_efficiency"),
    "bag": ("leakage", "bag_ratio", "duct_loss", "fan_efficiency", "drive_efficiency"),
    "bag_and_segment": ("leakage", "bag_ratio", "duct_loss", "fan_efficiency", "drive_efficiency"),
    "full_segment": (
        "leakage", "hole_ratio", "hole_discharge", "plenum_loss", "duct_loss", "fan_efficiency", "drive_efficiency",
    ),
}  # fmt: skip

# Keys that may be left out and have no value then: what their absence means.
WHEN_ABSENT: dict[str, str] = {
    **{
        path: "the bands that come with the program, shown by `air DESIGN --compare`"
        for kind, names in KIND_KEYS.items()
        for path in (f"air.kinds.{kind}", *(f"air.kinds.{kind}.{name}" for name in names))
    },
    "air.kinds": "the bands that come with the program, shown by `air DESIGN --compare`",
    "air.engine_power": "no power is installed yet: nothing is compared with it",
    "air.gap_by_run": "all tips hang equally high",
    "air.day": "the day of [air] and, in tables, 35 degC at the same altitude",
    "air.surface": "the gap of [air] and, in tables, 5, 10 and 20 mm of daylight (common practice, no source)",
    "air.leak": "no leak but the gap",
    "air.leak.area": "diameter is given in its place",
    "air.leak.diameter": "area is given in its place",
    "air.loss": "nothing is lost between fan and cushion; a note says so where there is a fan",
    "air.loss.name": "the kind is its name",
    "air.loss.area": "diameter is given in its place",
    "air.loss.diameter": "area is given in its place",
    "air.loss.count": "one; of feed holes, one for each segment",
    "air.loss.factor": "the handbook factor of its kind, with its band",
    "air.loss.open_share": "only a guard has one",
    "air.loss.edge": "only an inlet has one",
    "air.loss.bend": "only a bend has one",
    "air.loss.length": "only a duct has one",
    "air.loss.free_area": "only a passage past frames has one",
    "air.loss.discharge": "0.6, with a band (common practice, no source)",
    "air.loss.place": "by its kind: guard and inlet at the intake, holes, mouth and vents at the feed, others between",
    "air.fan": "the program says what a fan must give",
    "air.fan.tested_diameter": "tested at the diameter it has here",
    "air.fan.tested_speed": "tested at the speed it has here",
    "air.fan.outlet_area": "only needed where the pressure is static",
    "air.fan.points": "free_flow and shut_off are given in their place",
    "air.fan.points.power": "by fan_efficiency of [air]",
    "air.fan.free_flow": "points are given in its place",
    "air.fan.shut_off": "points are given in its place",
    "air.water": "getting up from water is not checked",
    "air.battery": "lift is not electric",
    "air.discharge": "computed from the face angle by free-streamline theory (physics of a jet under a sloping wall)",
    "hull.edge.run": "only the last point, where no piece begins",
    "hull.edge.radius": "the vertex stays sharp in plan",
    "hull.edge.through": "the piece to the next point is straight",
    "hull.fixing": "the hull is still to be built: the inner fixings go where the skirt wants them",
    "hull.fixing.bow": "nothing is said of the inner fixings there",
    "hull.fixing.side": "nothing is said of the inner fixings there",
    "hull.fixing.stern": "nothing is said of the inner fixings there",
    "hull.fixing.line": "the inner fixings are given by run, or not at all",
    "hull.fixing.line.radius": "the vertex stays sharp in plan",
    "hull.fixing.line.through": "the piece to the next point is straight",
    "craft.seats": "the mass of the heaviest load picks the usual weight of cloth",
    "cloth.strength": "the pull is told, but nothing is judged by the cloth's strength",
    "cloth.tear": "nothing is judged by what the cloth holds once torn",
    "making.thread_strength": "nothing is judged by the strength of a sewn seam",
    "hull.skids": "all defaults of its keys",
    "hull.skids.inboard": "whether tips can come to lie under a skid is not told",
    "making.fittings": "all defaults of its keys",
    "making.seams": "all defaults of its keys",
    "making.spares": "all defaults of its keys",
    "making.wear": "faces without wear panels",
    "making.wear.mass": "wear panels are cut from the segments' cloth",
    "making.back": "stern segments are open inboard",
    "making.hull_band": "the loop's own turned edge goes under the hull strip",
    "making.spray_flap": "no apron over the tops of the segments",
    "making.drains": "no drain slots in the loop",
    "making.loop_ties": "no straps inside the loop",
    "making.covers": "seams of the loop are not covered",
    "skirt.diaphragm": "loops are cut for balance, without a diaphragm",
    "skirt.diaphragm.vent_diameter": "the program chooses the vents",
    "skirt.diaphragm.vents_per_pitch": "the program chooses the vents",
    **{f"skirt.diaphragm.{run}": "as the whole diaphragm" for run in ("bow", "side", "stern")},
    **{f"skirt.diaphragm.{run}.margin": "the margin of the whole diaphragm" for run in ("bow", "side", "stern")},
    **{
        f"skirt.diaphragm.{run}.{key}": "as the run beside it that tells it; where none does, the place is looked for"
        for run in ("bow", "side", "stern")
        for key in ("height", "inboard")
    },
    "hull.bottom": "the planing surface runs straight from the hull edge through the inner fixing to the flat",
    "hull.bottom.bow": "as the run beside it",
    "hull.bottom.side": "as the run beside it",
    "hull.bottom.stern": "as the run beside it",
    "skirt.bow": "only where no piece of the hull edge is labelled bow, or the joint line is given outright",
    "skirt.side": "only where no piece of the hull edge is labelled side, or the joint line is given outright",
    "skirt.stern": "only where no piece of the hull edge is labelled stern, or the joint line is given outright",
    "skirt.bow.tip_inside": "joint_inside is given in its place",
    "skirt.bow.joint_inside": "tip_inside is given in its place",
    "skirt.side.tip_inside": "joint_inside is given in its place",
    "skirt.side.joint_inside": "tip_inside is given in its place",
    "skirt.stern.tip_inside": "joint_inside is given in its place",
    "skirt.stern.joint_inside": "tip_inside is given in its place",
    "skirt.inner": "all defaults of its keys",
    "skirt.inner.inboard": "it follows from face angle, tip angle and drop",
    "skirt.bow.depth": "the depth of the whole skirt",
    "skirt.bow.face_angle": "the face angle of the whole skirt",
    "skirt.bow.tip_angle": "the tip angle of the whole skirt, or what follows from the inner fixing given",
    "skirt.bow.inner": "the inner fixing of the whole skirt",
    "skirt.bow.inner.drop": "the drop of the whole skirt",
    "skirt.bow.inner.inboard": "the distance of the whole skirt, or what follows from face and tip angle",
    "skirt.side.depth": "the depth of the whole skirt",
    "skirt.side.face_angle": "the face angle of the whole skirt",
    "skirt.side.tip_angle": "the tip angle of the whole skirt, or what follows from the inner fixing given",
    "skirt.side.inner": "the inner fixing of the whole skirt",
    "skirt.side.inner.drop": "the drop of the whole skirt",
    "skirt.side.inner.inboard": "the distance of the whole skirt, or what follows from face and tip angle",
    "skirt.stern.depth": "the depth of the whole skirt",
    "skirt.stern.face_angle": "the face angle of the whole skirt",
    "skirt.stern.tip_angle": "the tip angle of the whole skirt, or what follows from the inner fixing given",
    "skirt.stern.inner": "the inner fixing of the whole skirt",
    "skirt.stern.inner.drop": "the drop of the whole skirt",
    "skirt.stern.inner.inboard": "the distance of the whole skirt, or what follows from face and tip angle",
    "skirt.corner": "only where the hull edge has no such corner, or the joint line is given outright",
    "skirt.corner.bow": "only where bow does not meet side, or the joint line is given outright",
    "skirt.corner.side": "the radius of the bow corner",
    "skirt.corner.stern": "only where side does not meet stern, or the joint line is given outright",
    "skirt.joint_line": "the joint line follows the hull edge by the insets",
    "skirt.joint_line.run": "only the last point, where no piece begins",
    "skirt.joint_line.radius": "the vertex stays sharp in plan, which only a straight-on vertex can",
    "skirt.joint_line.through": "the piece to the next point is straight",
    "bounce": "all defaults of its keys",
    "bounce.loss_factor": "0.05, the low end of 0.05 to 0.15 (from memory); measure it by a swing test",
    "bounce.mouth_area": "the `vents` of air.loss where told, else the open lower side of the loop",
    "bounce.cushion_volume": "from plan and sections: under the hull, in segments and loop",
    "bounce.duct_length": "with duct_area: the ducts of air.loss, else a third of the root of the cushion's area",
    "bounce.duct_area": "with duct_length: the ducts of air.loss, else what lets the lift air through at 5 m/s",
    "layout": "all defaults of its keys",
    "materials": "all defaults of its keys",
    "prices": "nothing is priced",
    **{
        f"prices.{key}": "shown as not priced"
        for key in (
            "loop_cloth",
            "segment_cloth",
            "wear_cloth",
            "thread",
            "glue",
            "strip",
            "bolt",
            "washer",
            "eyelet",
            "tie",
        )
    },
    "layout.roll": "everything is cut from one new roll of the cloth's width",
    "layout.roll.width": "the roll_width of its cloth",
    "layout.roll.length": "as long as it takes",
    "balance": "all defaults of its keys",
    "balance.movable": "nothing aboard is asked to stand elsewhere",
    "under_way": "all defaults of its keys",
    "under_way.static_thrust": "no thrust is told, or points are: without any the program says what it has to be",
    "under_way.disc": "no thrust is told, or points are",
    "under_way.thrust": "static_thrust and disc are given in its place, or no thrust is told",
    "under_way.intake_height": "as high as the thrust line",
    "under_way.frontal_area": "width of the hull times hover height, hull edge and 0.6 m of people and screen above it",
    "under_way.frontal_height": "half way up the frontal area",
    "under_way.wave": "the band that comes with the program, shown by `water DESIGN`",
    "under_way.air": "the band that comes with the program, shown by `water DESIGN`",
    "under_way.momentum": "the band that comes with the program, shown by `water DESIGN`",
    "under_way.skirt_friction": "the band that comes with the program, shown by `water DESIGN`",
    "under_way.wet_band": "the band that comes with the program, shown by `water DESIGN`",
    "skirt.station.loop": "the loop is cut as its section asks",
    "skirt.station": "stations stand by rule: ends of runs, corners of the hull edge, equal steps in corners",
    "making.loop": "all defaults of its keys",
    "making.loop.longest": "a straight run is one panel, unless the warp runs around and the roll is too narrow",
    "air": "all defaults of its keys",
    "making": "all defaults of its keys",
    "making.hull_edge_corner": "20 mm more than the rules differ on a corner's loop, never less than hull_edge",
    "craft.load.items": "mass, x, y and z are given outright",
}
