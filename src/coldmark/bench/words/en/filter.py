"""Filters."""

MESSAGES: dict[str, str] = {
    "working.filter.element": "Pressure drop of the element",
    "working.filter.housing": "Pressure drop of the housing",
    "working.filter.bypassed": "Flow past the element",
    "working.filter.cracks": "Oil temperature below which the bypass is open",
    "working.filter.half": "Oil temperature below which half the flow goes past the element",
    "working.filter.look_again": "Oil temperature above which a clean element no longer lights the lamp",
    "working.filter.retracting": "Return flow of a rod driven in",
    "working.filter.lowering": "Return flow of what sinks by its own weight",
    "working.filter.returning": "Return flow in all",
    "filter.drop": "The filter takes about {total_bar}, {low_bar} to {high_bar}.",
    "filter.bypassed": "About {bypassed_share} of the flow, {low_share} to {high_share}, goes past the element, unfiltered.",
    "filter.may_bypass": "The bypass is about to open: up to {high_share} of the flow may go past the element.",
    "filter.return_flow": "Up to {total_l_min} come back through the return filter.",
    "filter.cracks.below": "At {flow_l_min} the bypass is open while the oil is below about {below_c}.",
    "filter.cracks.never": "At {flow_l_min} even cold oil does not open the bypass of this element.",
    "filter.cracks.always": "At {flow_l_min} the bypass is open however warm the oil is: the element is full or too "
    "small.",
    "filter.half.below": "At {flow_l_min} more than half of it goes past the element while the oil is below about {below_c}.",
    "filter.half.never": "At {flow_l_min} never more than half of it goes past the element.",
    "filter.half.always": "At {flow_l_min} more than half of it always goes past the element.",
    "filter.share_now": "Now, at {flow_l_min}, about {now_share} of it, {low_share} to {high_share}, goes past the element.",
    "filter.all_now": "Now, at {flow_l_min}, all of it goes through the element.",
    "alarm.cold": "With the oil at {oil_c} a clean element may light the lamp too. Idle without load and look again "
    "above {again_c}; if it is still on then, stop and open the filter.",
    "alarm.stop": "With the oil at {oil_c} a clean element would not light the lamp. Stop, let it cool and let off "
    "the pressure, then open the filter and look.",
    "alarm.always": "By these figures a clean element lights the lamp however warm the oil is: look at the figures. Stop, "
    "let it cool and let off the pressure, then open the filter and look.",
    "alarm.off": "A lamp that is off proves nothing: the bypass may stand open, or the element may be missing.",
    # what an element has caught, and how long it lasts
    "filter.left.tells": "About {left_share} of the element's life is left, {low_share} to {high_share}.",
    "filter.left.wide": "By this reading {low_share} to {high_share} of the element's life may be left: too wide to go by. "
    "Read again with warm oil at full flow.",
    "filter.left.full": "The element is full: change it.",
    "filter.left.too_little": "A clean element would read about {clean_bar}, and this is less. It may be torn or missing, "
    "the bypass may stand open, or less oil flowed than was told. Stop, let it cool and let off the pressure, then open "
    "the filter and look.",
    "filter.left.between": "Here a clean element reads {clean_bar} and a full one {full_bar}; the last part of its life goes "
    "fast.",
    "filter.left.bypassed": "At this reading {bypassed_share} of the flow goes past the element, unfiltered.",
    "filter.life.full.in": "The element is full in about {in_h:0}, {low_h:0} to {high_h:0}. Its service interval still holds.",
    "filter.life.full.now": "The element is full: change it.",
    "filter.life.lamp.in": "The lamp comes on in about {in_h:0}, {low_h:0} to {high_h:0}.",
    "filter.life.lamp.now": "At this flow and warmth the lamp comes on already.",
    "filter.life.opens.in": "The bypass begins to let oil past in about {in_h:0}, {low_h:0} to {high_h:0}.",
    "filter.life.opens.now": "At this flow and warmth the bypass lets oil past already.",
    "filter.life.dirtier": "When it is full, {past_share} of the flow goes past it and the oil is {times:1} times as dirty. "
    "It lasts no longer for that: what goes past comes round again.",
    # dirt in and dirt out
    "filter.settles": "The tank settles at about {tank_per_ml}, {low_per_ml} to {high_per_ml}.",
    "filter.settles.flat": "A perfect filter would leave {flat_per_ml}: a higher β changes next to nothing here. Less dirt "
    "getting in does, or more oil through the filter.",
    "filter.settles.steep": "A perfect filter would leave {flat_per_ml}: at this β a finer element helps.",
    "filter.hidden": "Up to {hidden_share} of the flow could go past the element and the count would not show it. Opening "
    "the filter and looking does.",
    "filter.cleaning.takes": "It takes about {takes_min} with the oil going round, {low_min} to {high_min}.",
    "filter.cleaning.then": "After {after_min} the count is about {then_per_ml}.",
    "filter.cleaning.enough": "It is that clean already.",
    "filter.cleaning.settles": "The count goes towards {settles_per_ml} and comes half of the way every {halves_min:1}.",
    "filter.cleaning.move": "Move every function meanwhile: oil that stands in cylinders and hoses stays as it is.",
    "filter.ingress": "About {rate_million_min} get in, {low_million_min} to {high_million_min}.",
    "filter.ingress.either": "If half of the flow goes past the element, the same count means {half_million_min}: no count "
    "can tell the two apart. Opening the filter and looking does.",
    "filter.judged.as_expected": "The oil is about as clean as expected ({times:1} times the count).",
    "filter.judged.dirtier": "The oil is about {times:1} times as dirty as expected. Either that much more dirt gets in, or "
    "{explains_share} of the flow goes past the element: no count can tell the two apart. Stop, let it cool and let off the "
    "pressure, then open the filter and look.",
    "filter.judged.cleaner": "The oil is cleaner than expected ({times:2} times the count): less dirt gets in than was "
    "thought, or the sample is not of the oil that works.",
    "filter.judged.sizes_differ": "Not every size has moved alike, as more dirt or an open bypass would make it. Take a "
    "second sample; if it says the same, look for wear or for dirt from a repair.",
    # the pump's inlet
    "filter.starves.below": "Drawing {flow_l_min}, the pump starves while the oil is below {below_c}, {low_c} to {high_c}.",
    "filter.starves.never": "Drawing {flow_l_min}, the pump has enough even with the coldest oil that flows.",
    "filter.starves.always": "Drawing {flow_l_min}, the pump starves however warm the oil is: look at the figures, the "
    "strainer, the line and the level. Do not run it so.",
    "filter.inlet.left": "Now, at {t_c} and {flow_l_min}, its inlet has {inlet_bar} absolute and needs {least_bar}.",
    "filter.inlet.none": "Now, at {t_c}, oil this stiff cannot be drawn at {flow_l_min} at all.",
    "filter.inlet.do_not_start": "Do not start the engine: even idling the pump may starve. Warm the oil first, as the "
    "machine's manual says.",
    "filter.inlet.idle_until": "Idle without load until the oil is above {above_c}; a pump that rattles is starving: stop.",
    "filter.inlet.usual": "Taken that the pump needs {least_bar} absolute, as most do (common practice, no source); its "
    "manual goes first.",
    # steps of workings
    "working.filter.clean_element": "What a clean element would take",
    "working.filter.life_left": "Share of its life that is left",
    "working.filter.full_in": "Hours until it is full",
    "working.filter.dirtier": "Times as dirty, with what goes past the full element",
    "working.filter.efficiency": "Share that stays in the element",
    "working.filter.effective_beta": "β of element and bypass together",
    "working.filter.settles": "Count that the tank goes to",
    "working.filter.behind": "Count behind the filter",
    "working.filter.flat": "Count with a perfect filter",
    "working.filter.tau": "Time constant of the oil going round",
    "working.filter.count_then": "Count after that time",
    "working.filter.minutes": "Minutes until it is that clean",
    "working.filter.ingress": "Dirt that gets in",
    "working.filter.times": "Times as dirty as expected",
    "working.filter.explains": "Share past the element that would do it alone",
    "working.filter.hidden": "Share past the element that the count would not show",
    "working.filter.air": "Pressure of the air",
    "working.filter.speed": "Speed in the line",
    "working.filter.friction": "Friction factor of the line",
    "working.filter.inlet": "Absolute pressure at the pump's inlet",
    "working.filter.starves": "Oil temperature below which the pump starves",
}
