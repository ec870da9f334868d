"""The oil level."""

MESSAGES: dict[str, str] = {
    # level: what to do
    "level.add": "Add {add_l} now.",
    "level.may_add": "It may stay as it is; adding {add_l} is better.",
    "level.drain": "Drain off {drain_l} now.",
    "level.right": "Nothing to add.",
    "level.right_room": "It is right as it is; up to {room_l} more may go in.",
    "level.add_middle": "Add {add_l} to the middle of the glass.",
    "level.add_some": "Add oil in small pours and read again after each.",
    "level.drain_some": "Drain off a little and read again.",
    "level.between_marks": "The oil stands between the marks: nothing to add.",
    # level: how it will stand
    "level.after.hot_just_under": "Hot, it will stand just under the upper mark.",
    "level.after.hot_at": "Hot, it will then stand {stands_share} of the way from the lower to the upper mark.",
    "level.after.marks_just_under": "At {marks_c}, for which the marks hold, it will stand just under the upper mark.",
    "level.after.marks_at": "At {marks_c}, for which the marks hold, it will then stand {stands_share} of the way up.",
    "level.after.breather": "Hot with every rod in, it will stay just below the breather.",
    "level.after.crosses": (
        "Hot, it will stand just under the upper mark; at {coldest_c} it will fall below the lower one, "
        "because the marks are close together for this climate."
    ),
    "level.then.hot_just_under": "Hot, it will then stand just under the upper mark.",
    "level.then.hot_at": "Hot, it will then stand {stands_share} of the way from the lower to the upper mark.",
    "level.then.marks_just_under": (
        "At {marks_c}, for which the marks hold, it will then stand just under the upper mark."
    ),
    "level.then.marks_at": "At {marks_c}, for which the marks hold, it will then stand {stands_share} of the way up.",
    "level.as_is.hot_just_under": "Hot, it will stand just under the upper mark.",
    "level.as_is.hot_at": "Hot, it will stand {stands_share} of the way from the lower to the upper mark.",
    "level.as_is.hot_over": "Hot, it will touch the upper mark, no further off than the glass can be read.",
    "level.as_is.marks_just_under": "At {marks_c}, for which the marks hold, it will stand just under the upper mark.",
    "level.as_is.marks_at": "At {marks_c}, for which the marks hold, it will stand {stands_share} of the way up.",
    "level.as_is.marks_over": (
        "At {marks_c}, for which the marks hold, it will touch the upper mark, "
        "no further off than the glass can be read."
    ),
    "level.as_is.now": "It stands {stands_share} of the way from the lower to the upper mark now.",
    "level.why.upper": "Hot, it would otherwise stand above the upper mark.",
    "level.why.upper_marks": "At {marks_c}, for which the marks hold, it would otherwise stand above the upper mark.",
    "level.why.breather": "Hot with every rod in, it would otherwise reach the breather.",
    "level.why.suction": "At {coldest_c} with every rod out, the pump could otherwise draw air.",
    # level: what cannot be
    "level.cannot.two_rows": "a table needs two rows or more",
    "level.cannot.rises": "it must rise from the row before, {before|measure:given}",
    "level.cannot.between": "it must lie between {low_l:bare} and {high_l:given}",
    "level.cannot.below_hold_from": "it must not be colder than the marks begin to hold, {hold_from_c:given}",
    "level.cannot.above_lower": "it must be above the lower mark, {lower_mm:given}",
    "level.cannot.rod": "the rod must be thinner than the bore, {bore_mm:given}",
    "level.cannot.charge": "below the gas charge, {charge_bar:given}, an accumulator takes no oil",
    "level.cannot.shape": "by the tank's shape it is about {by_shape_l}",
    "level.cannot.follows": "it follows {before_h:given}",
    "level.cannot.alone": "tank and cylinders alone hold {alone_l}",
    "level.cannot.above_hot": "it must not be warmer than the oil gets hot, {hot_c:given}",
    "level.cannot.same_way": "{poured_l:given} must move the reading the same way",
    "level.cannot.same_way_warmed": "{poured_l:given} and the warmth must move the reading the same way",
    # level: nothing to be seen, or too much
    "level.none_seen": "No oil to be seen in the check posture: do not start.",
    "level.none_seen_least": "Add at least {least_l} in small pours, read again after each, and find where it went.",
    "level.none_seen_why": "Add oil in small pours until it shows, read again after each, and find where it went.",
    "level.none_seen_here": "No oil to be seen in this posture: do not start as it stands.",
    "level.none_seen_posture": (
        "The posture alone accounts for {off_l}: lower to the check posture without the engine if that can be done, "
        "else add oil until it just shows, move, and read again."
    ),
    "level.over_glass": "The oil stands above what the glass can show.",
    "level.let_cool": "It may be right: let it cool to {marks_c}, for which the marks hold, and read again.",
    "level.drain_some_again": "Drain off until it shows, and read again.",
    "level.drain_least": "Drain off at least {least_l}, and read again.",
    # level: first set right, then read
    "level.move_first": "Move to the check posture first: {posture}.",
    "level.move_first_why": "The marks hold in that posture only.",
    "level.engine.stopped": "Stop the engine first, let the oil settle, then read again.",
    "level.engine.idling": "Let the engine idle, then read again.",
    "level.engine_why.stopped": "The marks hold with the engine stopped.",
    "level.engine_why.idling": "The marks hold with the engine idling.",
    "level.settle": "Wait {wait_min} more, then read again.",
    "level.settle_why": "The oil needs {settle_min} to settle after the engine has stopped.",
    "level.foam": "Wait until the foam is gone, then read again.",
    "level.foam_why": "Foam stands higher than the oil under it.",
    # level: in another posture
    "level.elsewhere.add": "Add between {low_l} and {high_l}, and read again as soon as it can be moved.",
    "level.elsewhere.drain": "Drain off between {low_l} and {high_l}, and read again as soon as it can be moved.",
    "level.elsewhere.at_most": "Add at most {high_l}, and read again as soon as it can be moved.",
    "level.elsewhere.drain_at_most": "Drain off at most {high_l}, and read again as soon as it can be moved.",
    "level.elsewhere.right": "As far as it can be told here, nothing to add; read again as soon as it can be moved.",
    "level.elsewhere.direction": "Litres cannot be told here; read again as soon as it can be moved.",
    "level.elsewhere.less": "In this posture the glass shows {off_l} less than in the check posture.",
    "level.elsewhere.more": "In this posture the glass shows {off_l} more than in the check posture.",
    "level.elsewhere.unknown": "How far the glass is off in this posture is not known.",
    # level: what a missing value switches off
    "level.off.cold_mark": "The temperature for which the marks hold is not known: no cold mark is given.",
    "level.off.litres": "The litres between the marks are not known: only the direction is given.",
    "level.off.growth": "The litres of the whole system are not known: no hot or cold level is given.",
    "level.off.narrow_range": "The litres at the lower mark are not known: the range is wider.",
    "level.off.hot": "The working temperature is not known: the marks are held against their own temperature.",
    "level.off.coldest": "The coldest start is not told: nothing is said of it.",
    "level.off.outside_range": "The air's temperature is not told: the range leaves out that hoses may be colder.",
    "level.off.breather": "The room above the upper mark is not known: nothing is said of the breather.",
    "level.off.suction": "The oil above the suction is not known: nothing is said of the pump drawing air.",
    "level.off.density": "The oil's density is not known: a usual mineral oil, 875 kg/m³ at 15 °C, is assumed.",
    "level.off.engine": "The engine's state is not told: it is taken to be as the marks need it.",
    "level.off.settling": "How long the oil has settled is not told: it is taken to be long enough.",
    "level.off.slope": "The gauge's place in the tank is not known: the slope is left out.",
    "level.cannot_tell.cold_mark": "The cold mark cannot be told from what is known of this machine.",
    "level.cannot_tell.blocked": (
        "The glass should move by {expected_share} only between these postures: "
        "too little to tell whether it is blocked."
    ),
    # level: words of the machine
    "level.warmth.as_the_air": "as the air",
    "level.warmth.hand_warm": "hand-warm",
    "level.warmth.too_hot_to_hold": "too hot to hold",
    "level.quarter.in": "all the way in",
    "level.quarter.one": "a quarter out",
    "level.quarter.half": "half out",
    "level.quarter.three": "three quarters out",
    "level.quarter.out": "all the way out",
    # level: the working
    "level.step.drawn": "Oil that the rods and accumulators hold beyond the check posture",
    "level.step.mass": "Mass of all the oil",
    "level.step.at_marks": "Where it stands at the temperature for which the marks hold",
    "level.step.hot": "Where it stands hot",
    "level.step.coldest": "Where it stands on the coldest start",
    "level.step.highest": "Highest reading now",
    "level.step.lowest": "Lowest reading now",
    "level.step.litres": "Litres from this reading to where it may be filled (negative: to drain off)",
    "level.step.learned": "Litres between the marks, learned from pours",
    "level.learn.warmed": "a pour during which the oil warmed or cooled",
    # level: what it loses over months
    "level.losses.two_readings": "the loss in 100 hours, from two readings that can be used,",
    "level.losses.loses": "It loses about {lost_l:2} in 100 hours ({low_l:2} to {high_l:2}).",
    "level.losses.gains": "It gains about {lost_l:2} in 100 hours ({low_l:2} to {high_l:2}).",
    "level.losses.gains_why": (
        "Oil or water gets in, or a top-up was not recorded. Look at the level of the gearboxes and the engine, and for "
        "water at the bottom of the tank."
    ),
    "level.losses.none": (
        "No loss can be told from these readings; if there is one, it is most likely below {most_l:2} in 100 hours."
    ),
    "level.losses.drop": "As a feel: a drop a minute while it runs, or less.",
    "level.losses.drops": "As a feel: some {drops:0} drops a minute while it runs.",
    "level.losses.left_out": "Left out, because of foam, out of the glass or far off all others: reading {rows}.",
    "level.cannot_tell.hours": (
        "The readings lie less than an hour apart, so nothing can be said about 100 hours. Read again after some work."
    ),
    "level.cannot_tell.stood_still": (
        "The glass stood still although posture, warmth and what was poured must have moved it by {moved_share} of the "
        "way between the marks. Its bores may be blocked: clean the gauge and read again before trusting it."
    ),
    "level.step.content": "Oil gone from the system since the first reading",
    "level.step.losses": "Lost in 100 hours",
    # level: the calculation on losses
    "catalogue.losing.question": "Does this machine lose oil?",
    "catalogue.losing.what": (
        "It tells how many litres the whole system loses in a hundred hours, and whether that is more than the readings "
        "leave open."
    ),
    "catalogue.losing.when": (
        "Use it when a machine is topped up now and then and nobody knows whether that is much, and again after a leak "
        "was mended. Three readings or more, some tens of hours apart, make it worth asking."
    ),
    "catalogue.losing.assumes": (
        "Every litre that went in or out is told, with the reading after it. All oil outside the tank is taken as rigid, "
        "full and as warm as the tank. A drop is taken as a twentieth of a millilitre, for a feel only."
    ),
    "catalogue.losing.limits": (
        "Foam and readings out of the glass count for nothing, and a glass that stood still is refused. A loss that began "
        "in between is told as if it had been there all along: ask again with the later readings alone."
    ),
    "catalogue.input.levels": "Readings, in order",
    "catalogue.input.hours": "Hour meter",
    "catalogue.input.net": "Poured in since the one before (out: minus)",
    "catalogue.field.lost_100h_l": "Lost in 100 hours",
    "catalogue.field.drops_a_minute": "Drops a minute, as a feel",
    "catalogue.field.span_h": "Over",
    # how the sums on the level are explained
    "catalogue.level.what": (
        "Whether to add oil or drain some off, how many litres, and where the level will stand once the oil is hot."
    ),
    "catalogue.level.when": "Whenever a level is read that is not at working temperature, or not in the manual's posture.",
    "catalogue.level.assumes": (
        "No oil is lost or gained meanwhile: the tank's oil grows with warmth, the rods' oil stays where it is. What is "
        "outside the tank is as warm as the tank, unless the air is told, which widens the range."
    ),
    "catalogue.level.limits": (
        "A data sheet with the tank and its marks. In another posture than the manual's it says to move first. It does "
        "not know of foam, of oil trapped on a slope, or of a glass that is blocked."
    ),
    "catalogue.cold_mark.what": "The reading to fill to now, so that the oil stands right when it is hot.",
    "catalogue.cold_mark.when": "After an oil change or a top-up with cold oil, before the machine has worked.",
    "catalogue.cold_mark.assumes": (
        "The oil reaches its working temperature. One reading's resolution is kept free below the upper mark, and one "
        "above the lower mark on the coldest start."
    ),
    "catalogue.cold_mark.limits": (
        "The manual's posture, and a sheet that tells for which temperature its marks hold. In a hard climate the two "
        "bounds can cross: then it says so."
    ),
    "catalogue.glass_moves.what": "Whether the glass moved as much as the rods say that it must.",
    "catalogue.glass_moves.when": "When a level has not changed for long, or does not fit what was poured.",
    "catalogue.glass_moves.assumes": "Both readings within minutes, the oil equally warm, the machine on the same ground.",
    "catalogue.glass_moves.limits": (
        "The two postures must draw enough oil to be seen. A glass that moves may still be dirty: it is not proved right."
    ),
    "catalogue.litres_between.what": "How many litres lie between the marks, from pours and the readings before and after.",
    "catalogue.litres_between.when": "When the manual does not say it, which is often: every top-up teaches it.",
    "catalogue.litres_between.assumes": (
        "Each pour went in whole, and both its readings were taken in the same posture and at the temperature told. Large "
        "pours count for more."
    ),
    "catalogue.litres_between.limits": (
        "It is not relied on until the pours cover a third of the glass. A pour that fits none of the others is left out."
    ),
}
