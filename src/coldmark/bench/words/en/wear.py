"""Wear: samples, rates, limits, and the sums about them."""

MESSAGES: dict[str, str] = {
    "working.wear.stays": "Metal made, if it stays in the oil",
    "working.wear.taken": "Metal made, if the filter takes it",
    "working.wear.fill": "Metal made, by all samples together",
    "working.wear.after": "Content with which the new fill starts",
    "wear.why.both": "{other} must be told with it",
    "wear.why.one": "there must be one at least",
    "wear.why.too_much": "no more can be added at once than the whole system holds",
    "wear.why.two": "wear shows between two samples, so there must be two at least",
    "wear.why.order": "the samples come in the order of their hours, each an hour or more after the one before ({before_h})",
    "wear.no_number": "No published limit of {quantity} is a number.",
    "wear.rate.gaining": "If the metal stays in the oil, it gains {gain_mg_kg_100h} ({low} to {high}).",
    "wear.rate.plateau": "The value stands still, as far as a laboratory can tell ({within_mg_kg} either way): it must not be "
    "divided by the hours.",
    "wear.rate.at_most": "Little wears, at most {at_most_mg_kg_100h}, or the filter takes the metal as fast as it is made.",
    "wear.rate.falling": "Less metal is there than at the first sample, where {expected_mg_kg} would be left. The filter takes "
    "it, oil was changed or added that nobody told, or the sample was drawn otherwise.",
    "wear.rate.taken": "If the filter takes the metal, {gain_mg_kg_100h} are made ({low} to {high}).",
    "wear.rate.taken_unknown": "If the filter takes it, any rate is possible: the value then shows only what the filter leaves.",
    "wear.rate.apparent": "The rate is apparent: two samples cannot tell which of the two holds. Take more on this fill.",
    "wear.fill.open": "Two samples cannot tell whether the wear is rising: take a third on this fill.",
    "wear.fill.steady": "Wear goes on evenly; it is not rising.",
    "wear.fill.quickening": "Wear is rising: each stretch brings more metal than the one before.",
    "wear.fill.levelling": "The value rises less and less. Either wear eases, or the filter takes the metal: then wear is more "
    "than the oil shows.",
    "wear.fill.level": "The value stands still, as far as a laboratory can tell. Either little wears, or the filter takes the "
    "metal as fast as it is made; it must not be divided by the hours.",
    "wear.fill.falling": "The value falls more than top-ups explain: the filter takes the metal, or oil was changed that nobody "
    "told.",
    "wear.fill.scattered": "The samples fit no even course: look at how and where each was drawn, and at the laboratory, before "
    "you believe any of them.",
    "wear.fill.rate": "The oil gains {gain_mg_kg_100h} ({low} to {high}).",
    "wear.fill.lately": "Lately it gains {gain_mg_kg_100h} ({low} to {high}).",
    "wear.fill.apparent": "So no rate is given: what is divided by the hours would be apparent only.",
    # catalogue: whether wear is rising
    "catalogue.wear_rising.question": "Is this wear rising?",
    "catalogue.wear_rising.what": "Whether the metal in several samples of one fill comes in evenly, ever faster or ever slower, and "
    "how much in 100 h, oil that was added reckoned in.",
    "catalogue.wear_rising.when": "When the second sample of a fill is back, and with each one after it.",
    "catalogue.wear_rising.assumes": "All oil is mixed by running before a sample is drawn. Oil that was added replaced what was "
    "lost evenly, at the metal of its time. Where the laboratory's repeatability is not told: a tenth of the mean, at least "
    "1 mg/kg.",
    "catalogue.wear_rising.limits": "One fill, no change between the samples; the moment of a change may stand as the first row, "
    "with what the new fill starts with. Metal in flakes is not in the value: look into the filter too.",
    "catalogue.wear_rising.note": "Compare with the machine's own earlier samples and with the new oil first; limits of others are "
    "only a backstop, and the maker's go before them.",
    "catalogue.wear_rising.beyond": "{metal}, {of}, is beyond a published limit of {limit_mg_kg} ({source}; {known}).",
    "catalogue.wear_rising.below": "{metal}, {of}, is within a published limit of {limit_mg_kg} ({source}; {known}).",
    "catalogue.wear_rising.value": "the last value",
    "catalogue.wear_rising.rise": "its rise over the new oil",
    "catalogue.wear_rising.as_printed": "as printed",
    "catalogue.wear_rising.from_memory": "from memory",
    "catalogue.input.samples": "Samples of one fill, oldest first",
    "catalogue.input.content": "Found",
    "catalogue.input.added": "Oil added since the last",
    "catalogue.input.metal": "What was measured",
    "catalogue.input.oil_density": "Density of the oil",
    "catalogue.input.fresh": "The same in the new oil",
    "catalogue.input.repeatability": "The laboratory's repeatability",
    "catalogue.input.metal_beta": "β of the filter for this metal",
    "catalogue.choice.iron": "Iron",
    "catalogue.choice.copper": "Copper",
    "catalogue.choice.lead": "Lead",
    "catalogue.choice.chromium": "Chromium",
    "catalogue.choice.silicon": "Silicon",
    "catalogue.choice.tin": "Tin",
    "catalogue.choice.other_metal": "Something else",
    "catalogue.choice.wear_open": "two samples cannot tell",
    "catalogue.choice.wear_steady": "even, not rising",
    "catalogue.choice.wear_quickening": "rising",
    "catalogue.choice.wear_levelling": "rises less and less",
    "catalogue.choice.wear_level": "stands still",
    "catalogue.choice.wear_falling": "falls",
    "catalogue.choice.wear_scattered": "samples do not fit together",
    "catalogue.field.wear_verdict": "Wear",
    "catalogue.field.gains_mg_kg_100h": "The oil gains",
    "catalogue.field.made_mg_100h": "Metal made",
    "catalogue.field.stays_mg_kg_100h": "Last stretch, if the metal stays",
    "catalogue.field.taken_mg_kg_100h": "Last stretch, if the filter takes it",
    # catalogue: what a change leaves behind
    "catalogue.metal_left.question": "How much metal does the new oil start with?",
    "catalogue.metal_left.what": "What a change leaves behind: the old oil that did not run out carries its metal into the new "
    "fill.",
    "catalogue.metal_left.when": "Before the first sample of a new fill is judged.",
    "catalogue.metal_left.assumes": "Old and new oil are mixed, every function moved.",
    "catalogue.metal_left.limits": "Before every function was moved, old oil still stands in cylinders and hoses, and a sample "
    "shows too little. In hydraulics up to 40 % may stay behind.",
    "catalogue.metal_left.says": "The new fill starts with {start_mg_kg}: {left_share} of the oil is still the old.",
    "catalogue.metal_left.not_wear": "A first sample of about {start_mg_kg} is no wear.",
    "catalogue.metal_left.all": "all that the system holds",
    "catalogue.input.drained_oil": "Found in the old oil",
    "catalogue.field.start_mg_kg": "The new fill starts with",
    "catalogue.field.old_oil_share": "Old oil left",
    # pictures
    "picture.metal.title": "Metal in the samples",
    "picture.metal.side": "mg/kg",
    "picture.metal.foot": "hour meter",
    "picture.metal.says": "{count} samples in {run_h:0}: from {first_mg_kg} to {last_mg_kg}.",
}
