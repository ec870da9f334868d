"""Wear: samples, rates, limits, and the sums about them."""

MESSAGES: dict[str, str] = {
    "working.wear.stays": "Metal made, if it stays in the oil",
    "working.wear.taken": "Metal made, if the filter takes it",
    "working.wear.fill": "Metal made, by all samples together",
    "working.wear.after": "Content with which the new fill starts",
    "wear.why.both": "{name} must be told with it",
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
}
