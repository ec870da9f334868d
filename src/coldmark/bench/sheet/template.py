"""A commented sheet to start from. It is sound as it stands, and everything in it that must be replaced says so."""

from __future__ import annotations

from coldmark.bench.errors import require_choice
from coldmark.bench.sheet.table import KINDS

__all__ = ["template"]

_BOOM = """\
[hydraulic.cylinders.boom]
kind = "double"           # double-acting; or "plunger", "single_dry" (dry rod side), "through" (rod through both ends)
bore_mm = 90              # FILL IN, as the next two
rod_mm = 50
stroke_mm = 700
count = 1

[hydraulic.cylinders.arm]
kind = "double"
bore_mm = 80              # FILL IN
rod_mm = 45
stroke_mm = 700
"""
_LIFT = """\
[hydraulic.cylinders.lift]
kind = "double"           # double-acting; or "plunger", "single_dry" (dry rod side), "through" (rod through both ends)
bore_mm = 65              # FILL IN, as the next two
rod_mm = 40
stroke_mm = 750
count = 2

[hydraulic.cylinders.tilt]
kind = "double"
bore_mm = 65              # FILL IN
rod_mm = 35
stroke_mm = 420
count = 2
"""
_LIFT_ONE = _LIFT.replace("count = 2", "count = 1")
_REACH = """\
[hydraulic.cylinders.lift]
kind = "double"           # double-acting; or "plunger", "single_dry" (dry rod side), "through" (rod through both ends)
bore_mm = 120             # FILL IN, as the next two
rod_mm = 70
stroke_mm = 1000
count = 1

[hydraulic.cylinders.extend]
kind = "double"
bore_mm = 75              # FILL IN
rod_mm = 50
stroke_mm = 2800
"""
_TIP = """\
[hydraulic.cylinders.tip]
kind = "double"           # double-acting; or "plunger", "single_dry" (dry rod side), "through" (rod through both ends)
bore_mm = 80              # FILL IN, as the next two
rod_mm = 45
stroke_mm = 500
count = 2
"""

# By kind: the cylinders, the check posture with the rods in it, and another posture.
_BY_KIND: dict[str, tuple[str, str, str, str, str]] = {
    "excavator": (
        _BOOM,
        "Arm out, bucket on the ground",
        "{ boom = 0.35, arm = 0 }",
        "Boom up, arm in",
        "{ boom = 0.9, arm = 1 }",
    ),
    "track_loader": (
        _LIFT,
        "Arms down, bucket flat on the ground",
        "{ lift = 0, tilt = 0.15 }",
        "Arms up on their lock",
        "{ lift = 1, tilt = 0.8 }",
    ),
    "telehandler": (
        _REACH,
        "Boom in and down",
        "{ lift = 0, extend = 0 }",
        "Boom run out, down",
        "{ lift = 0.05, extend = 1 }",
    ),
    "wheel_loader": (
        _LIFT_ONE,
        "Arms down, bucket flat on the ground",
        "{ lift = 0, tilt = 0.5 }",
        "Arms half up, bucket dumped",
        "{ lift = 0.5, tilt = 1 }",
    ),
    "dumper": (_TIP, "Skip down", "{ tip = 0 }", "Skip tipped", "{ tip = 1 }"),
}

_TEXT = """\
# The data sheet of one machine model. Fill it in from the machine's own manual, plate and parts list.
#
# - What is marked FILL IN is made up, so that this file can be checked at once: coldmark sheet check FILE
# - A line that begins with "#" is not read. Take the # away where you know the value; leave it where you do not:
#   what is not known switches off what needs it, and is never guessed.
# - A key ends in its unit, and any unit of the same kind will do: stroke_mm = 700 or stroke_in = 27.6,
#   hot_c or hot_f, capacity_l or capacity_gal, torque_nm or torque_lbf_ft.
# - origin = "manual", "measured" or "assumed" may stand in any table, for all the figures in it.

origin = "manual"

[machine]
maker = "FILL IN"
model = "FILL IN"
kind = "@KIND@"           # excavator, track_loader, telehandler, wheel_loader, dumper
# mass_kg = 5000
# serial_from = ""        # the serial numbers that the sheet holds for
# serial_to = ""

# What holds a fluid: one table each, under a short name of your own.

[compartments.hydraulic]
name = "hydraulic system"
fluid = "hydraulic oil"   # or "engine oil", "gear oil", "coolant", "brake fluid"
families = ["HM", "HV"]   # ISO 6743-4, as in the manual
grades = ["VG 46"]        # FILL IN
# additive = "any"        # "zinc" or "zinc_free" where the manual asks for one
# capacity_l = 60
# drain_l = 40            # what comes out at an oil change

[hydraulic]
# compartment = "hydraulic" # which of them the tank is; needed unless just one holds hydraulic oil
engine = "stopped"        # while the level is read; or "idling"
check_posture = "check"   # the name of one of the postures below
# system_l = 60           # all the oil, with the level in the middle of the marks
# settle_min = 5
# hot_c = 57              # the oil after some hours of work
# start_limit_mm2_s = 1000 # oil's viscosity: thickest for a start, thickest and thinnest for good work, thinnest
# best_high_mm2_s = 60
# best_low_mm2_s = 16
# lowest_mm2_s = 10

[hydraulic.tank]
material = "steel"        # or "aluminium", "plastic"
# between_marks_l = 8     # from the lower to the upper mark; else it is learned from top-ups
# at_lower_l = 40         # in the tank at the lower mark
# above_upper_l = 9       # what still goes in above the upper mark
# below_lower_l = 25      # above the suction at the lower mark
# on_upper_structure = true

# [hydraulic.tank.shape]
# origin = "measured"
# kind = "upright"        # a box, with length_mm and width_mm; "upright_round" with diameter_mm;
# length_mm = 420         # "lying" with diameter_mm and length_mm; or "table" with rows:
# width_mm = 300          # rows = [{ height_mm = 0, volume_l = 0 }, { height_mm = 400, volume_l = 50 }]
# diameter_mm = 400

[hydraulic.gauge]
kind = "glass"            # or "line", "bullseye", "dipstick", "plug"
# hold_from_c = 50        # the oil temperature for which the marks hold; without it there is no cold mark
# hold_to_c = 60
# lower_mm = 325          # heights of the marks above the tank's bottom, inside
# upper_mm = 390
# ahead_mm = 0            # where the gauge is, seen from the tank's middle; matters on a slope
# left_mm = 140
# resolution_share = 0.03 # how well it can be read

# [hydraulic.suction]      # how the pumps draw from the tank; only for whether they starve when it is cold
# inner_mm = 38
# length_mm = 900
# head_mm = 300           # oil above the pump's inlet; below 0 where the pump sits higher
# fittings = 1.5          # sum of the loss coefficients of bends and fittings
# roughness_mm = 0.01
# strainer = "return"     # the housing that the strainer is in, with its stage
# pumps = ["main"]        # those that draw through it; all, where none is named
# least_bar = 0.8         # least absolute pressure at a pump's inlet, from the manual
# tank_bar = 0.3          # a tank under pressure: above the air

# The cylinders, each under the name that people use.

@CYLINDERS@
# A gas accumulator, pressures as on a gauge.
# [hydraulic.accumulators.pilot]
# gas_l = 0.3
# charge_bar = 15
# working_bar = 35
# exponent = 1            # 1 slow, 1.4 fast

# Postures: the manual's, and those in which the machine is found. How far each rod is out: 0 in, 1 out.

[hydraulic.postures.check]
says = "@CHECK@"          # FILL IN, in the manual's sense and your own words
extension = @CHECK_RODS@

[hydraulic.postures.other]
says = "@OTHER@"
extension = @OTHER_RODS@
# charged = false         # the accumulators hold pressure in it

# Pumps and what they drive; only for warm-up and flow.

# [pumps.main]
# displacement_cm3 = 27
# idle_rpm = 1150
# full_rpm = 2200
# volumetric_share = 0.95
# case_drain_l_min = 1

# [functions.boom]
# kind = "cylinder"       # or "motor"
# cylinder = "boom"
# pump = "main"
# regenerated_share = 0   # share of the leaving oil that goes to the other side
# lowering_s = 3          # measured time of lowering by gravity

# Parts, with what can be measured on a new one: any name that ends in a unit.

[parts.return_element]
name = "return element"
kind = "element"          # element, seal, spring, valve, strainer, breather, other
number = ""               # FILL IN
# features = { length_mm = 218, outer_mm = 96, bypass_bar = 1.5 }
# holds_l = 0.5           # oil that an old one takes along
# serial_from = ""        # machine serial numbers that take it
# serial_to = ""

[parts.cover_ring]
name = "cover ring"
kind = "seal"
number = ""               # FILL IN

# A housing is a stack, told from the outside in.

[housings.return]
name = "return filter"
compartment = "hydraulic"
opens = "top"             # or "below", "side"
sprung = true             # a spring pushes the cover: FILL IN
holds_pressure = false    # after stopping: FILL IN
# spin_on = false
# turn_after_contact = "" # for a spin-on
# spill_l = 0.1

# [housings.return.fasteners]
# count = 6
# hex_mm = 13
# thread = "M8"
# torque_nm = 24          # from the manual only
# torque_low_nm = 22
# torque_high_nm = 26

# [housings.return.stage] # from the filter's curves: clean drops at a stated flow, viscosity and density
# element_bar = 0.06
# housing_turbulent_bar = 0.11
# housing_laminar_bar = 0
# reference_l_min = 150
# reference_mm2_s = 30
# reference_kg_m3 = 860
# alarm_bar = 1.2         # where the lamp comes on
# terminal_bar = 1.5
# capacity_g = 85
# beta = 200
# beta_um = 12

# [housings.return.stage.bypass]
# cracks_bar = 1.5
# full_open_bar = 2.4
# full_open_l_min = 160
# spans_housing = false

[[housings.return.stack]]
key = "cover"
name = "cover"
kind = "cover"            # cover, spring, valve, seal, element, strainer, bowl, plate, other
renew = false             # the same one goes back

[[housings.return.stack]]
key = "cover_ring"
name = "cover ring"
kind = "seal"
part = "cover_ring"
renew = true

[[housings.return.stack]]
key = "spring"
name = "spring"
kind = "spring"
renew = false
# count = 1
# note = "narrow end down"

[[housings.return.stack]]
key = "valve"
name = "bypass valve"
kind = "valve"
renew = false

[[housings.return.stack]]
key = "element"
name = "return element"
kind = "element"
part = "return_element"
renew = true

# Cautions. At most three stop the card until they are acknowledged.

[cautions.pressure_down]
word = "danger"           # danger, warning, caution, notice
hazard = "Oil under pressure, and an attachment that is held up by it."
consequence = "A jet of oil goes through skin; a falling attachment crushes."
avoidance = "Everything down, engine stopped, pressure let off as the machine's manual says."
hard_stop = true

# What may be fitted.

# [options.breaker]
# name = "breaker"
# tasks = []              # tasks that come with it
# breaker = true
# extra_l = 1             # oil that it adds

# What is timed once a year, to see how well the machine still works.

# [timings.boom_up]
# name = "boom up"
# kind = "cycle"          # a function's time from end to end; or "drift", how far a cylinder sinks under a load
# says = "Bucket on the ground to full height, empty, full throttle"
# oil_c = 50              # the oil temperature that it is measured at
# most_s = 3.5            # the longest that it may take; for a drift most_mm within watched_min
# engine_rpm = 2200

# [timings.boom_drift]
# name = "boom drift"
# kind = "drift"
# most_mm = 20
# watched_min = 5
# load_kg = 300           # what hangs on it

# Tasks, each with its steps in the order of the work.

[tasks.hyd_500]
name = "Hydraulic service: return element"
compartment = "hydraulic"
interval_h = 500          # FILL IN
# interval_months = 12    # whichever comes first
# first_h = 50            # the first time
# tolerance_h = 0         # how late it may be
counts_from = "meter"     # multiples on the meter; or "last_done"
# includes = []           # shorter tasks done with it
# needs_option = "breaker"
# oil_change = false      # the compartment's oil is changed

# [tasks.hyd_500.breaker] # the manual's table; or factor = 4, hours of wear for an hour of breaker work
# rows = [{ breaker_share = 0, interval_h = 500 }, { breaker_share = 1, interval_h = 100 }]

[[tasks.hyd_500.steps]]
key = "park"
phase = "prepare"         # prepare, work, fill, run, finish: the order in a job of several tasks
once = "park"             # steps of several tasks with the same word are done once a job
says = "@CHECK@"
why = "Nothing can fall."
cautions = ["pressure_down"]
minutes = 5

[[tasks.hyd_500.steps]]
key = "tray_out"
kind = "tray_out"         # do, tray_out, tray_in, close, meter, level_found, level_left, add, sample
says = "Lay the return stack on the tray, in order"
housing = "return"
minutes = 8
# tools = [{ name = "socket", hex_mm = 13 }]
# consumables = [{ name = "lint-free rags", amount = "4" }]
# litres_out_l = 0.5

[[tasks.hyd_500.steps]]
key = "tray_in"
kind = "tray_in"
says = "Put the return stack back, from the other end"
housing = "return"
parts = [{ part = "return_element", count = 1 }, { part = "cover_ring", count = 1 }]
minutes = 8
after = ["tray_out"]

[[tasks.hyd_500.steps]]
key = "close"
kind = "close"
says = "Cover on, crosswise"
housing = "return"
minutes = 5
# torque_nm = 24          # from the manual only
after = ["tray_in"]

[[tasks.hyd_500.steps]]
key = "level_left"
kind = "level_left"
phase = "run"
says = "Read the oil level as left"
compartment = "hydraulic"
minutes = 5
# wait_min = 5
# litres_in_l = 0.8
"""


def template(kind: str = "excavator") -> str:
    """Return a commented sheet to start from.

    Parameters
    ----------
    kind
        What the machine is: excavator, track_loader, telehandler, wheel_loader or dumper.

    Returns
    -------
    str
        TOML that passes :func:`~coldmark.bench.sheet.check` as it stands; what is made up in it says FILL IN.

    Valid for
        The kinds named above.

    Raises
    ------
    NotAChoice
        For another kind.

    Source
        The table of keys; its figures are invented.

    Examples
    --------
    >>> template("telehandler").count("FILL IN") > 5
    True
    """
    require_choice("kind", kind, KINDS)
    cylinders, check, check_rods, other, other_rods = _BY_KIND[kind]
    text = _TEXT.replace("@KIND@", kind).replace("@CYLINDERS@", cylinders)
    text = text.replace("@CHECK_RODS@", check_rods).replace("@OTHER_RODS@", other_rods)
    return text.replace("@CHECK@", check).replace("@OTHER@", other)
