"""What a machine's samples say, on its page."""

MESSAGES: dict[str, str] = {
    "samples.iron": "Iron",
    "samples.copper": "Copper",
    "samples.lead": "Lead",
    "samples.chromium": "Chromium",
    "samples.tin": "Tin",
    "samples.silicon": "Silicon",
    "samples.calcium": "Calcium",
    "samples.magnesium": "Magnesium",
    "samples.sodium": "Sodium",
    "samples.potassium": "Potassium",
    "samples.water": "Water",
    "samples.kv40": "Viscosity at 40 °C",
    "samples.wear.open_gaining": "apparently {gain_mg_kg_100h}",
    "samples.wear.open_plateau": "stands still so far",
    "samples.wear.open_falling": "less than before",
    "samples.wear.steady": "even wear, {gain_mg_kg_100h}",
    "samples.wear.quickening": "wear is rising, lately {gain_mg_kg_100h}",
    "samples.wear.rising": "wear is rising",
    "samples.wear.levelling": "rises less and less",
    "samples.wear.level": "stands still",
    "samples.wear.falling": "falls",
    "samples.wear.scattered": "samples do not fit together",
    "samples.apparent": "What is apparent, stands still or rises less and less may be the filter taking the metal: it must not "
    "be divided by the hours. More samples on this fill tell.",
    "samples.no_volume": "The data sheet does not say how much the system holds, so no wear is worked out.",
}
