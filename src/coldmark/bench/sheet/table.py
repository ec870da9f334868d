"""The field table: every key of a data sheet, once. The reader, the JSON Schema and the template's test follow it."""

from __future__ import annotations

from coldmark.bench.oil.model import FAMILIES
from coldmark.bench.sheet.fields import Field, TableSpec

__all__ = ["KINDS", "ORIGINS", "PHASES", "ROOT"]

ORIGINS = ("manual", "measured", "assumed")
KINDS = ("excavator", "track_loader", "telehandler", "wheel_loader", "dumper")
PHASES = ("prepare", "work", "fill", "run", "finish")

_MACHINE = TableSpec(
    "The machine that the sheet is for.",
    (
        Field("maker", "text", "the maker", required=True, high=60),
        Field("model", "text", "the model as on the plate", required=True, high=60),
        Field("kind", "choice", "what it is", required=True, choices=KINDS),
        Field("mass_kg", "number", "its mass", low=100, high=200_000),
        Field("serial_from", "text", "first serial number that the sheet holds for", default="", high=40),
        Field("serial_to", "text", "last serial number that the sheet holds for", default="", high=40),
    ),
)

_COMPARTMENT = TableSpec(
    "One place that holds a fluid.",
    (
        Field("name", "text", "what people call it", required=True, high=60),
        Field(
            "fluid",
            "choice",
            "what it holds",
            required=True,
            choices=("hydraulic oil", "engine oil", "gear oil", "coolant", "brake fluid"),
        ),
        Field(
            "families", "choices", "families of hydraulic oil allowed (ISO 6743-4)", choices=tuple(FAMILIES), default=()
        ),
        Field("grades", "texts", "grades allowed, such as VG 46 or SAE 15W-40", default=(), high=40),
        Field(
            "additive",
            "choice",
            "zinc in the additive; any: the manual asks for nothing",
            choices=("zinc", "zinc_free", "any"),
            default="any",
        ),
        Field("capacity_l", "number", "all that it holds", low=0.05, high=5000),
        Field("drain_l", "number", "what comes out at a drain", low=0.05, high=5000),
    ),
)

_SHAPE_ROW = TableSpec(
    "One row of the tank's table, rising.",
    (
        Field("height_mm", "number", "height above the bottom", required=True, low=0, high=5000),
        Field("volume_l", "number", "litres at that height", required=True, low=0, high=5000),
    ),
    origin=False,
)

_SHAPE = TableSpec(
    "The tank's inside, where it is known.",
    (
        Field(
            "kind",
            "choice",
            "upright box, upright or lying cylinder, or a table of heights",
            required=True,
            choices=("upright", "upright_round", "lying", "table"),
        ),
        Field("length_mm", "number", "inside length", low=20, high=5000),
        Field("width_mm", "number", "inside width", low=20, high=5000),
        Field("diameter_mm", "number", "inside diameter", low=20, high=5000),
        Field("rows", "rows", "heights and litres, for a table", table=_SHAPE_ROW),
    ),
)

_TANK = TableSpec(
    "The hydraulic tank.",
    (
        Field("material", "choice", "of what it is made", required=True, choices=("steel", "aluminium", "plastic")),
        Field("between_marks_l", "number", "litres from the lower to the upper mark", low=0.05, high=500),
        Field("shape", "table", "its inside", table=_SHAPE),
        Field("at_lower_l", "number", "litres in it at the lower mark", low=0, high=2000),
        Field("above_upper_l", "number", "litres that still go in above the upper mark", low=0, high=2000),
        Field("below_lower_l", "number", "litres above the suction at the lower mark", low=0, high=2000),
        Field("on_upper_structure", "truth", "it slews with the upper structure", default=False),
    ),
)

_GAUGE = TableSpec(
    "What the level is read on.",
    (
        Field(
            "kind",
            "choice",
            "what it is",
            required=True,
            choices=("glass", "line", "bullseye", "dipstick", "plug"),
        ),
        Field("hold_from_c", "number", "coldest oil for which the marks hold", low=-40, high=120),
        Field("hold_to_c", "number", "warmest oil for which the marks hold", low=-40, high=120),
        Field("lower_mm", "number", "height of the lower mark above the tank's bottom", low=0, high=5000),
        Field("upper_mm", "number", "height of the upper mark above the tank's bottom", low=0, high=5000),
        Field("ahead_mm", "number", "how far ahead of the tank's middle the gauge is", low=-5000, high=5000),
        Field("left_mm", "number", "how far left of the tank's middle the gauge is", low=-5000, high=5000),
        Field(
            "resolution_share",
            "number",
            "how well it can be read, as a share of the span",
            low=0.001,
            high=0.25,
            default=0.03,
            attribute="resolution",
        ),
    ),
)

_CYLINDER = TableSpec(
    "One kind of cylinder; postures speak of it by this name.",
    (
        Field(
            "kind",
            "choice",
            "double-acting, plunger, single-acting with a dry rod side, or with the rod through both ends",
            required=True,
            choices=("double", "plunger", "single_dry", "through"),
        ),
        Field("bore_mm", "number", "bore", required=True, low=5, high=500),
        Field("rod_mm", "number", "rod (of a plunger: the ram)", required=True, low=3, high=500),
        Field("stroke_mm", "number", "stroke", required=True, low=5, high=10_000),
        Field("count", "whole", "how many", low=1, high=20, default=1),
    ),
)

_ACCUMULATOR = TableSpec(
    "A gas accumulator. Pressures as a gauge shows them.",
    (
        Field("gas_l", "number", "gas volume", required=True, low=0.01, high=200),
        Field("charge_bar", "number", "gas charge without oil", required=True, low=0.5, high=450),
        Field("working_bar", "number", "pressure that it works at", required=True, low=0.5, high=450),
        Field("exponent", "number", "exponent of the gas: 1 slow, 1.4 fast", low=1, high=1.67, default=1.0),
    ),
)

_POSTURE = TableSpec(
    "How the machine stands, in the words that people use.",
    (
        Field("says", "text", "the posture in words", required=True, high=120),
        Field(
            "extension",
            "shares",
            "how far each cylinder's rod is out, 0 to 1",
            required=True,
            refers="hydraulic.cylinders",
        ),
        Field("charged", "truth", "the accumulators hold pressure in it", default=False),
    ),
)

_SUCTION = TableSpec(
    "How the pumps draw from the tank.",
    (
        Field("inner_mm", "number", "inner diameter of the line", required=True, low=5, high=200),
        Field("length_mm", "number", "its length", required=True, low=0, high=20_000),
        Field(
            "head_mm",
            "number",
            "oil above the pump's inlet; below 0 where it sits higher",
            low=-5000,
            high=5000,
            default=0.0,
        ),
        Field("fittings", "number", "sum of the fittings' loss coefficients", low=0, high=100, default=1.5),
        Field("roughness_mm", "number", "roughness of the wall", low=0, high=0.25, default=0.01),
        Field("strainer", "reference", "the housing of its strainer", refers="housings"),
        Field(
            "pumps",
            "references",
            "the pumps that draw through it; all, where none is named",
            refers="pumps",
            default=(),
        ),
        Field("least_bar", "number", "least absolute pressure at a pump's inlet", low=0.1, high=3),
        Field("tank_bar", "number", "what the tank holds above the air", low=0, high=2, default=0.0),
    ),
)

_HYDRAULIC = TableSpec(
    "The hydraulic system.",
    (
        Field(
            "compartment",
            "reference",
            "the compartment that its tank is; needed unless just one holds hydraulic oil",
            refers="compartments",
        ),
        Field("system_l", "number", "all its oil, the level in the middle of the marks", low=0.5, high=5000),
        Field(
            "engine",
            "choice",
            "the engine while the level is read",
            required=True,
            choices=("stopped", "idling"),
        ),
        Field("settle_min", "number", "minutes to wait before the level is read", low=0, high=240),
        Field("hot_c", "number", "oil temperature after some hours of work", low=10, high=110),
        Field(
            "check_posture",
            "reference",
            "the maker's posture for reading the level",
            required=True,
            refers="hydraulic.postures",
        ),
        Field("start_limit_mm2_s", "number", "thickest oil for a start", low=50, high=20_000),
        Field("best_high_mm2_s", "number", "thickest oil for good work", low=5, high=2000),
        Field("best_low_mm2_s", "number", "thinnest oil for good work", low=2, high=500),
        Field("lowest_mm2_s", "number", "thinnest oil that may be", low=1, high=200),
        Field("tank", "table", "the tank", required=True, table=_TANK),
        Field("gauge", "table", "what the level is read on", required=True, table=_GAUGE),
        Field("cylinders", "named", "the cylinders", table=_CYLINDER, default={}),
        Field("accumulators", "named", "the accumulators", table=_ACCUMULATOR, default={}),
        Field("suction", "table", "how the pumps draw from the tank", table=_SUCTION),
        Field("postures", "named", "the postures, the check posture among them", required=True, table=_POSTURE),
    ),
)

_PUMP = TableSpec(
    "A pump.",
    (
        Field("displacement_cm3", "number", "displacement per turn", required=True, low=0.5, high=1000),
        Field("idle_rpm", "number", "its speed at idle", required=True, low=100, high=6000),
        Field("full_rpm", "number", "its speed at full throttle", required=True, low=100, high=6000),
        Field(
            "volumetric_share",
            "number",
            "flow delivered over flow displaced",
            low=0.5,
            high=1,
            default=0.95,
            attribute="volumetric",
        ),
        Field("case_drain_l_min", "number", "flow of its case drain", low=0, high=100, default=0.0),
    ),
)

_FUNCTION = TableSpec(
    "One function that a pump drives.",
    (
        Field("kind", "choice", "cylinder or motor", required=True, choices=("cylinder", "motor")),
        Field("cylinder", "reference", "the cylinder", refers="hydraulic.cylinders"),
        Field("pump", "reference", "the pump", refers="pumps"),
        Field(
            "regenerated_share",
            "number",
            "share of the leaving oil that goes to the other side",
            low=0,
            high=1,
            default=0.0,
            attribute="regenerated",
        ),
        Field("lowering_s", "number", "time of lowering by gravity", low=0.5, high=120),
    ),
)

_ITEM = TableSpec(
    "One thing in the housing's stack, outside first.",
    (
        Field("key", "name", "its name in the stack", required=True),
        Field("name", "text", "what it is", required=True, high=60),
        Field(
            "kind",
            "choice",
            "what kind",
            required=True,
            choices=("cover", "spring", "valve", "seal", "element", "strainer", "bowl", "plate", "other"),
        ),
        Field("part", "reference", "the part of it", refers="parts"),
        Field("count", "whole", "how many", low=1, high=20, default=1),
        Field("renew", "truth", "a new one goes back", required=True),
        Field("note", "text", "what to know", default="", high=160),
    ),
    origin=False,
)

_FASTENERS = TableSpec(
    "What holds the cover.",
    (
        Field("count", "whole", "how many", required=True, low=1, high=40),
        Field("hex_mm", "number", "hex of the head", low=3, high=100),
        Field("thread", "text", "the thread", default="", high=40),
        Field("torque_nm", "number", "torque from the manual", low=0.5, high=2000),
        Field("torque_low_nm", "number", "least torque", low=0.5, high=2000),
        Field("torque_high_nm", "number", "most torque", low=0.5, high=2000),
    ),
)

_BYPASS = TableSpec(
    "The valve beside the element.",
    (
        Field("cracks_bar", "number", "where it begins to open", required=True, low=0.05, high=50),
        Field("full_open_bar", "number", "where it is fully open", required=True, low=0.05, high=60),
        Field("full_open_l_min", "number", "flow through it then", required=True, low=0.5, high=3000),
        Field("spans_housing", "truth", "it also spans the housing's own drop", default=False),
    ),
)

_STAGE = TableSpec(
    "How the filter resists flow, at a stated reference.",
    (
        Field("element_bar", "number", "clean element's drop", required=True, low=0.0001, high=20),
        Field("housing_turbulent_bar", "number", "housing's turbulent drop", required=True, low=0, high=20),
        Field("housing_laminar_bar", "number", "housing's laminar drop", low=0, high=20, default=0.0),
        Field("reference_l_min", "number", "reference flow", required=True, low=0.5, high=3000),
        Field("reference_mm2_s", "number", "reference viscosity", low=1, high=1000, default=30.0),
        Field("reference_kg_m3", "number", "reference density", low=500, high=1500, default=860.0),
        Field("bypass", "table", "the bypass valve", table=_BYPASS),
        Field("alarm_bar", "number", "where the lamp comes on", low=0.05, high=50),
        Field("terminal_bar", "number", "where the element is full", low=0.05, high=50),
        Field("capacity_g", "number", "dirt it holds until then", low=0.1, high=5000),
        Field("beta", "number", "beta ratio", low=1, high=100_000),
        Field("beta_um", "number", "particle size of the beta ratio", low=1, high=200),
    ),
)

_HOUSING = TableSpec(
    "A housing as an ordered stack, outside first.",
    (
        Field("name", "text", "what people call it", required=True, high=60),
        Field("compartment", "reference", "what flows through it", required=True, refers="compartments"),
        Field("opens", "choice", "from where it is opened", required=True, choices=("top", "below", "side")),
        Field("sprung", "truth", "a spring pushes the cover", required=True),
        Field("holds_pressure", "truth", "it can hold pressure after stopping", required=True),
        Field("spin_on", "truth", "the element is a spin-on can", default=False),
        Field("turn_after_contact", "text", "turn after the gasket touches, for a spin-on", default="", high=40),
        Field("spill_l", "number", "what runs out when it is opened", low=0, high=100),
        Field("fasteners", "table", "what holds the cover", table=_FASTENERS),
        Field("stage", "table", "how it resists flow", table=_STAGE),
        Field("stack", "rows", "the stack, outside first", required=True, table=_ITEM),
    ),
)

_PART = TableSpec(
    "A part and the features that can be measured on it.",
    (
        Field("name", "text", "what it is", required=True, high=60),
        Field(
            "kind",
            "choice",
            "what kind",
            required=True,
            choices=("element", "seal", "spring", "valve", "strainer", "breather", "other"),
        ),
        Field("number", "text", "its number", default="", high=40),
        Field("features", "features", "what can be measured on it", default={}),
        Field("holds_l", "number", "oil that an old one takes along", low=0, high=50),
        Field("serial_from", "text", "first serial number of the machine that takes it", default="", high=40),
        Field("serial_to", "text", "last serial number of the machine that takes it", default="", high=40),
    ),
)

_CAUTION = TableSpec(
    "A hazard, what it does and how it is avoided.",
    (
        Field(
            "word",
            "choice",
            "signal word",
            required=True,
            choices=("danger", "warning", "caution", "notice"),
        ),
        Field("hazard", "text", "the hazard", required=True, high=120),
        Field("consequence", "text", "what it does", required=True, high=120),
        Field("avoidance", "text", "how it is avoided", required=True, high=200),
        Field("hard_stop", "truth", "the card waits until it is acknowledged", default=False),
    ),
    origin=False,
)

_OPTION = TableSpec(
    "Something that a machine may have fitted.",
    (
        Field("name", "text", "what it is", required=True, high=60),
        Field("tasks", "references", "tasks that come with it", refers="tasks", default=()),
        Field("breaker", "truth", "it is a breaker", default=False),
        Field("extra_l", "number", "oil that it adds to the system", low=0, high=500),
    ),
)

_TIMING = TableSpec(
    "Something that is timed to see how well the machine still works.",
    (
        Field("name", "text", "what it is", required=True, high=60),
        Field(
            "kind",
            "choice",
            "a function's time from end to end, or how far a cylinder drifts under a load",
            required=True,
            choices=("cycle", "drift"),
        ),
        Field("says", "text", "how it is measured", default="", high=200),
        Field("oil_c", "number", "oil temperature that it is measured at", low=-40, high=120),
        Field("most_s", "number", "the longest that a cycle may take", low=0.1, high=600),
        Field("most_mm", "number", "the farthest that it may drift", low=0.1, high=5000),
        Field("watched_min", "number", "within this time", low=0.1, high=1440),
        Field("load_kg", "number", "what hangs on it", low=0, high=100_000),
        Field("engine_rpm", "number", "the engine's speed meanwhile", low=100, high=5000),
    ),
)

_TOOL = TableSpec(
    "A tool.",
    (
        Field("name", "text", "what it is", required=True, high=60),
        Field("hex_mm", "number", "its hex", low=1, high=120),
    ),
    origin=False,
)

_CONSUMABLE = TableSpec(
    "Something used up.",
    (
        Field("name", "text", "what it is", required=True, high=60),
        Field("amount", "text", "how much", required=True, high=40),
    ),
    origin=False,
)

_PART_COUNT = TableSpec(
    "A part that the step needs.",
    (
        Field("part", "reference", "the part", required=True, refers="parts"),
        Field("count", "whole", "how many", low=1, high=40, default=1),
    ),
    origin=False,
)

_STEP = TableSpec(
    "One step, in the order of the work.",
    (
        Field("key", "name", "its name in the task", required=True),
        Field(
            "kind",
            "choice",
            "what is recorded at it",
            choices=("do", "tray_out", "tray_in", "close", "meter", "level_found", "level_left", "add", "sample"),
            default="do",
        ),
        Field("phase", "choice", "where in a job of several tasks it stands", choices=PHASES, default="work"),
        Field("once", "name", "steps of several tasks with the same word are done once a job", default=""),
        Field("says", "text", "what to do", required=True, high=60),
        Field("why", "text", "why it is done", default="", high=160),
        Field("housing", "reference", "the housing it is about", refers="housings"),
        Field("compartment", "reference", "the compartment it is about", refers="compartments"),
        Field("cautions", "references", "cautions shown with it", refers="cautions", default=()),
        Field("tools", "rows", "tools", table=_TOOL, default=()),
        Field("consumables", "rows", "what is used up", table=_CONSUMABLE, default=()),
        Field("parts", "rows", "new parts", table=_PART_COUNT, default=()),
        Field("minutes", "number", "how long it takes", required=True, low=0, high=1000),
        Field("litres_out_l", "number", "what comes out", low=0, high=5000),
        Field("litres_in_l", "number", "what goes in", low=0, high=5000),
        Field("wait_min", "number", "minutes to wait", low=0, high=600),
        Field("torque_nm", "number", "torque from the manual", low=0.5, high=5000),
        Field("after", "texts", "steps of this task that come before it in any case", default=(), high=40),
    ),
    origin=False,
)

_BREAKER_ROW = TableSpec(
    "One row of the breaker table, rising.",
    (
        Field("breaker_share", "number", "share of breaker hours", required=True, low=0, high=1),
        Field("interval_h", "number", "interval at that share", required=True, low=1, high=20_000),
    ),
    origin=False,
)

_BREAKER = TableSpec(
    "How breaker work shortens the task: the manual's table, or a factor.",
    (
        Field("factor", "number", "hours of wear for an hour of breaker work", low=1, high=20, default=1.0),
        Field("rows", "rows", "the manual's table", table=_BREAKER_ROW, default=()),
    ),
)

_TASK = TableSpec(
    "A service task.",
    (
        Field("name", "text", "what it is", required=True, high=80),
        Field("compartment", "reference", "the compartment it is about", refers="compartments"),
        Field("interval_h", "number", "interval in hours", low=1, high=20_000),
        Field("interval_months", "whole", "interval in months", low=1, high=240),
        Field("first_h", "number", "the first time, in hours", low=1, high=20_000),
        Field("tolerance_h", "number", "how late it may be; none where the manual says nothing", low=0, default=0.0),
        Field(
            "counts_from",
            "choice",
            "multiples on the meter, or from when it was last done",
            required=True,
            choices=("meter", "last_done"),
        ),
        Field("includes", "references", "shorter tasks done with it", refers="tasks", default=()),
        Field("breaker", "table", "what breaker work does to it", table=_BREAKER),
        Field("needs_option", "reference", "only for a machine with this", refers="options"),
        Field("oil_change", "truth", "the compartment's oil is changed", default=False),
        Field("steps", "rows", "the steps", required=True, table=_STEP),
    ),
)

ROOT = TableSpec(
    "A machine's data sheet.",
    (
        Field("origin", "choice", "where the figures come from", required=True, choices=ORIGINS),
        Field("machine", "table", "the machine", required=True, table=_MACHINE),
        Field("compartments", "named", "what holds a fluid", required=True, table=_COMPARTMENT),
        Field("hydraulic", "table", "the hydraulic system", required=True, table=_HYDRAULIC),
        Field("pumps", "named", "the pumps", table=_PUMP, default={}),
        Field("functions", "named", "what the pumps drive", table=_FUNCTION, default={}),
        Field("housings", "named", "the housings", table=_HOUSING, default={}),
        Field("parts", "named", "the parts", table=_PART, default={}),
        Field("cautions", "named", "the cautions", table=_CAUTION, default={}),
        Field("options", "named", "what may be fitted", table=_OPTION, default={}),
        Field("timings", "named", "what is timed", table=_TIMING, default={}),
        Field("tasks", "named", "the service tasks", required=True, table=_TASK),
    ),
    origin=False,
)
