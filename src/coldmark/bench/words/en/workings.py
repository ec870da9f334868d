"""How a working is shown."""

MESSAGES: dict[str, str] = {
    "working.source": "Source: {source}",
    "origin.sheet": "from the data sheet",
    "origin.measured": "measured here",
    "origin.told": "told",
    "origin.assumed": "assumed",
    "origin.practice": "common practice",
    "origin.learned": "learned from earlier jobs",
    "origin.worked_out": "worked out",
    "working.oil.curve_slope": "Slope of the viscosity line",
    "working.oil.curve_height": "Height of the viscosity line",
    "working.oil.viscosity": "Viscosity of the oil",
    "working.oil.temperature": "Temperature for that viscosity",
    "working.oil.index": "Viscosity index",
    "working.oil.expansion_rate": "Thermal expansion of the oil at 15 °C",
    "working.oil.density": "Density of the oil",
    "working.oil.expansion": "Volume against the volume before",
}
