"""Elements: the right one or not, and the sum about it."""

MESSAGES: dict[str, str] = {
    "element.why.nothing": "the comparison",
    "working.element.sight": "Looked at, side by side",
    "working.element.off": "How far the new one is off",
    "element.looked": "{count} of {all}",
    "element.answer.fits": "Fits, as far as eye and calliper can tell.",
    "element.answer.in_doubt": "In doubt: not all has been looked at or measured.",
    "element.answer.does_not_fit": "Does not fit: do not put it in.",
    "element.sight.length": "length",
    "element.sight.upper_end": "upper end",
    "element.sight.lower_end": "lower end",
    "element.sight.seal": "seal",
    "element.sight.spigot": "spigot or opening",
    "element.seen.same": "the same",
    "element.seen.in_doubt": "in doubt",
    "element.seen.different": "different",
    "element.seen.not_looked": "not looked at",
    "element.sight.same": "By sight the same: {sight}.",
    "element.sight.different": "By sight different: {sight}.",
    "element.sight.in_doubt": "Not sure by sight: {sight}.",
    "element.sight.not_looked": "Lay new and old side by side and look: {sight}.",
    "element.sight.measured": "The calliper says that it fits: {sight}.",
    "element.measure": "Take the calliper to both: {named}.",
    "element.feature.length": "length",
    "element.feature.outer": "outside diameter",
    "element.feature.inner": "opening",
    "element.feature.upper": "opening of the upper end",
    "element.feature.lower": "opening of the lower end",
    "element.feature.spigot": "outside of the spigot",
    "element.feature.section": "thickness of the seal",
    "element.measured.within.sheet": "Within {tolerance_mm:fine} of what it should be: {feature}.",
    "element.measured.within.old": "Within {tolerance_mm:fine} of the old one: {feature}.",
    "element.measured.more.sheet": "Larger than it should be by {off_mm:fine}: {feature}; {tolerance_mm:fine} would pass.",
    "element.measured.less.sheet": "Smaller than it should be by {off_mm:fine}: {feature}; {tolerance_mm:fine} would pass.",
    "element.measured.more.old": "Larger than the old one by {off_mm:fine}: {feature}; {tolerance_mm:fine} would pass.",
    "element.measured.less.old": "Smaller than the old one by {off_mm:fine}: {feature}; {tolerance_mm:fine} would pass.",
    "element.then.length.more": "The cover would press it, or the spring go solid.",
    "element.then.length.less": "The spring would not press it home, and oil would pass its end.",
    "element.then.outer.more": "It would touch the housing, or not go in.",
    "element.then.outer.less": "It may have less paper, and may not be held in the middle.",
    "element.then.inner.more": "Oil would pass between it and what it sits on.",
    "element.then.inner.less": "It would not go on, or tear its seal.",
    "element.then.upper.more": "Oil would pass at the upper end.",
    "element.then.upper.less": "It would not go on at the upper end.",
    "element.then.lower.more": "Oil would pass at the lower end.",
    "element.then.lower.less": "It would not go on at the lower end.",
    "element.then.spigot.more": "It would not go in, or tear the seal.",
    "element.then.spigot.less": "Oil would pass beside the spigot.",
    "element.then.section.more": "Its seal would be crushed.",
    "element.then.section.less": "Its seal would not seal.",
    "element.old_differs": (
        "The old one is not what it should be: {feature} {old_mm:fine} instead of {sheet_mm:fine}. "
        "It may have been the wrong one."
    ),
    "element.rejected": "{number} was found to be the wrong part on this machine before ({place}, {day}).",
    "element.number.same": "It carries the number that is asked for, {number}.",
    "element.number.other": "It carries {number}, and {wanted} is asked for: find out whether the one takes the other's place.",
    "element.number.not_read": "Read the number on it: {wanted} is asked for.",
    "element.serial.span": "{first} to {last}",
    "element.serial.within": "The sheet's part is for serials {span}; this machine is {serial}.",
    "element.serial.outside": (
        "The sheet's part is for serials {span}, and this machine is {serial}: look for the part of its own range."
    ),
    "element.serial.unlike": "The sheet's part is for serials {span}; {serial} cannot be told to be among them.",
    "element.serial.not_read": "The sheet's part is for serials {span}: read the machine's plate.",
    "element.unseen.bypass": "Bypass setting",
    "element.unseen.collapse": "Collapse pressure",
    "element.unseen.rating": "Rating",
    "element.unseen.media": "Media",
    "element.unseen.open": "{unseen}: nobody can see it.",
    "element.unseen.open.sheet": "{unseen}: the sheet says {value}, and nobody can see it.",
    "element.unseen.vouched": "{unseen}: nobody can see it; the right number on it stands for it.",
    "element.unseen.vouched.sheet": (
        "{unseen}: the sheet says {value}; nobody can see it, the right number on it stands for it."
    ),
    "element.unproven": (
        "Unproven, because nobody can see them: bypass setting, collapse pressure, rating, media. "
        "There only the number on the element counts."
    ),
    "element.upside_down.either_way": "Both ends are alike: it may go in either way up, unless an arrow is printed on it.",
    "element.upside_down.one_way": "The ends differ: it goes in the way the old one came out.",
    "element.upside_down.mistakable": (
        "It goes in upside down without complaint, though it must not: mark the upper end before it goes near the housing."
    ),
    "element.upside_down.unproven": "Look at both ends before it goes in: which one was up?",
    # the sum: its question, and what its page says
    "catalogue.element_right.question": "Is this the right element?",
    "catalogue.element_right.what": (
        "Whether the element in hand is the right one, feature by feature: what fits, what does not, which way up it goes, "
        "and what nobody can see."
    ),
    "catalogue.element_right.when": (
        "Before a new element goes in. Lay it beside the old one and look; take the calliper only where the eye is not sure."
    ),
    "catalogue.element_right.assumes": (
        "The old element may have been the wrong one: where a list or a data sheet gives a measure, that counts first. "
        "Tolerances are common practice, no source: 1 mm in length and outside, 0.3 mm in an opening."
    ),
    "catalogue.element_right.limits": (
        "Bypass setting, collapse pressure, rating and media cannot be seen: there only the number counts. "
        "The machine's own manual and parts list go before all of it."
    ),
    "catalogue.element_right.of_sheet": "a data sheet",
    "catalogue.element_right.earlier": "told",
    "catalogue.input.seen_length": "Side by side: length",
    "catalogue.input.seen_upper_end": "Side by side: upper end",
    "catalogue.input.seen_lower_end": "Side by side: lower end",
    "catalogue.input.seen_seal": "Side by side: seal",
    "catalogue.input.seen_spigot": "Side by side: spigot or opening",
    "catalogue.input.ends": "Both ends of the new one",
    "catalogue.input.features": "What was measured",
    "catalogue.input.feature": "Feature",
    "catalogue.input.new": "New",
    "catalogue.input.old": "Old",
    "catalogue.input.listed": "By the list",
    "catalogue.input.number": "Number on it",
    "catalogue.input.listed_number": "Number in the parts list",
    "catalogue.input.refused": "Numbers found wrong on this machine before, set apart by commas",
    "catalogue.input.serial": "Serial number of the machine",
    "catalogue.input.part": "Part of the sheet",
    "catalogue.choice.same": "the same",
    "catalogue.choice.in_doubt": "in doubt",
    "catalogue.choice.different": "different",
    "catalogue.choice.not_looked": "not looked at",
    "catalogue.choice.alike": "alike",
    "catalogue.choice.differ": "different from each other",
    "catalogue.choice.part_length": "length",
    "catalogue.choice.part_outside": "outside diameter",
    "catalogue.choice.opening": "opening that it sits on",
    "catalogue.choice.upper_opening": "opening of the upper end",
    "catalogue.choice.lower_opening": "opening of the lower end",
    "catalogue.choice.spigot_outside": "outside of its spigot",
    "catalogue.choice.seal_thickness": "thickness of its seal",
    "catalogue.choice.either_way": "either way up",
    "catalogue.choice.one_way": "one way only",
    "catalogue.choice.mistakable": "goes in upside down, and must not",
    "catalogue.choice.unproven": "not known",
    "catalogue.field.element_answer": "Answer",
    "catalogue.field.upside_down": "Which way up",
    "catalogue.field.unproven_count": "Features that nobody can see",
}
