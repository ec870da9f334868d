"""Filters."""

MESSAGES: dict[str, str] = {
    # what cannot be
    "filter.cannot.full_open": "a valve that cracks at {cracks_bar:given} is fully open at more",
    "filter.cannot.full_element": "a full element drops more than a clean one, {clean_bar:given}",
    "filter.cannot.idling": "it is at least the idling speed, {idle_rpm:given}",
    "filter.cannot.more_after": "a filter gives back no more than it gets, {before_per_ml:given}",
    "filter.cannot.case_drain": "at this speed the pump delivers {delivers_l_min} in all",
    "filter.cannot.three_sizes": "it takes 4, 6 and 14 µm",
    "filter.cannot.all_past": "some of the flow must pass the element",
    "filter.cannot.settles": "with this much getting in it settles at about {settles_per_ml}",
    "filter.cannot.nothing_in": "with nothing getting in it would stand at {left_per_ml}",
    # workings
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
    "filter.left.too_little": "A clean element would read about {clean_bar}, and this is less.",
    "filter.left.other_way": "It may be torn or missing, the bypass may stand open, or less oil flowed than was told.",
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
    "filter.cleaning.takes_little": "It takes about {takes_min:1} with the oil going round, {low_min:1} to {high_min:1}.",
    "filter.cleaning.then": "After {after_min} the count is about {then_per_ml}.",
    "filter.cleaning.enough": "It is that clean already.",
    "filter.cleaning.settles": "The count goes towards {settles_per_ml} and comes half of the way every {halves_min:1}.",
    "filter.cleaning.halves": "With nothing getting in, the count halves every {halves_min:1}.",
    "filter.cleaning.move": "Move every function meanwhile: oil that stands in cylinders and hoses stays as it is.",
    "filter.ingress": "Dirt gets in at about {rate_million_min}, {low_million_min} to {high_million_min}.",
    "filter.ingress.either": "If half of the flow goes past the element, the same count means {half_million_min}: no count "
    "can tell the two apart. Opening the filter and looking does.",
    "filter.judged.as_expected": "The oil is about as clean as expected ({times:1} times the count that was).",
    "filter.judged.dirtier": "The oil is about {times:1} times as dirty as expected.",
    "filter.judged.either": "Either {times:1} times as much dirt gets in, or {explains_share} of the flow goes past the "
    "element: no count can tell the two apart.",
    "filter.look": "Stop, let it cool and let off the pressure, then open the filter and look.",
    "filter.judged.cleaner": "The oil is cleaner than expected ({times:2} times the count that was): less dirt gets in than was "
    "thought, or the sample is not of the oil that works.",
    "filter.judged.sizes_differ": "Not every size has moved alike, as more dirt or an open bypass would make it. Take a "
    "second sample; if it says the same, look for wear or for dirt from a repair.",
    "filter.expected.between": "With this filter and this much dirt the oil should be between {clean} and {dirty}.",
    "filter.expected.one": "With this filter and this much dirt the oil should be {clean}.",
    "filter.expected.as_expected": "It is {found}: as expected.",
    "filter.expected.dirtier": "It is {found}: dirtier than expected, at {sizes}.",
    "filter.expected.cleaner": "It is {found}: cleaner than expected, at {sizes}. Less dirt gets in than was told, or the sample "
    "is not of the oil that works.",
    "filter.expected.sizes_differ": "It is {found}: at {sizes} it is off, and not to the same side. Neither more dirt nor an open "
    "bypass does that. Take a second sample; if it says the same, look for wear or for dirt from a repair.",
    "filter.expected.either": "Either more dirt gets in, or oil goes past the element: no code can tell the two apart.",
    "filter.expected.no_proof": "A code is good to one step, so this does not prove the filter: about half of the flow could go "
    "past the element and the code would hardly show it. Opening the filter and looking does.",
    "working.filter.off_expected": "Steps off what was expected",
    # the pump's inlet
    "filter.starves.below": "{speed}, drawing {flow_l_min}, the pump starves while the oil is below {below_c}, {low_c} to "
    "{high_c}.",
    "filter.starves.never": "{speed}, drawing {flow_l_min}, the pump has enough even with the coldest oil that flows.",
    "filter.starves.always": "{speed}, drawing {flow_l_min}, the pump starves however warm the oil is: look at the figures, the "
    "strainer, the line and the level. Do not run it so.",
    "filter.speed.full": "At full speed",
    "filter.speed.idle": "At idle",
    "filter.inlet.left": "Now, at {t_c} and full speed, its inlet has {inlet_bar} absolute and needs {least_bar}.",
    "filter.inlet.none": "Now, at {t_c} and full speed, oil this stiff cannot be drawn at all.",
    "filter.inlet.do_not_start": "Do not start the engine: even idling the pump may starve. Warm the oil first, as the "
    "machine's manual says.",
    "filter.inlet.idle_until": "Idle without load until the oil is above {above_c}; a pump that rattles is starving: stop.",
    "filter.inlet.usual": "Taken that the pump needs {least_bar} absolute, as most do (common practice, no source); its "
    "manual goes first.",
    # pictures
    "picture.dirt.title": "The tank's count against β",
    "picture.dirt.side": "particles per mL, a step of the code apart",
    "picture.dirt.foot": "β of the element",
    "picture.dirt.flat": "from here on β changes nothing",
    "picture.dirt.half": "half of the flow past it",
    "picture.dirt.found": "counted",
    "picture.dirt.says": "At β {beta} the tank settles at {tank_per_ml}. Above a β of about 10 the line is flat, near "
    "{flat_per_ml}. With half of the flow past the element it stands twice as high everywhere.",
    "picture.dirt.says_found": "Counted were {found_per_ml}.",
    "picture.element.title": "The indicator while the element fills",
    "picture.element.side": "indicator [{unit}]",
    "picture.element.foot": "life used",
    "picture.element.new": "new",
    "picture.element.full": "full",
    "picture.element.opens": "the bypass opens",
    "picture.element.says": "The indicator rises ever faster as the element fills. At {reading_bar} about {left_share} of its "
    "life is left.",
    "picture.element.says_none": "The indicator rises ever faster as the element fills. {reading_bar} is less than a clean "
    "element reads.",
    "picture.inlet.title": "The pump's inlet against warmth",
    "picture.inlet.side": "at the inlet [{unit} absolute]",
    "picture.inlet.foot": "oil temperature",
    "picture.inlet.starves": "below: the pump starves",
    "picture.inlet.lines": "whole line: full speed; dashed: idle",
    "picture.inlet.says": "At {t_c} the inlet has {inlet_bar}; the pump needs {least_bar}. Colder oil leaves less.",
    "picture.inlet.says_none": "At {t_c} the oil is too stiff to be drawn; the pump needs {least_bar}.",
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
    # catalogue: pressure drop
    "catalogue.filter_drop.what": "How much pressure housing and element take at this flow and warmth, and how much of the oil "
    "goes past the element.",
    "catalogue.filter_drop.when": "When an indicator reads high and you want to know what is right for oil this cold; or before "
    "an element of another make goes in.",
    "catalogue.filter_drop.assumes": "The clean drops are those of the filter's sheet at its reference. The element's goes with "
    "flow and viscosity, the housing's with the flow squared, and the valve lets more past the more it feels.",
    "catalogue.filter_drop.limits": "Flows up to 3000 L/min, oil that flows. A used element needs the drop of a full one. The "
    "filter's own curve, where there is one, comes first.",
    # catalogue: the warm-up line
    "catalogue.filter_warm_up.what": "Below which oil temperature the bypass is open, and below which half of the oil goes past "
    "the element unfiltered, at full flow and at idle.",
    "catalogue.filter_warm_up.when": "For cold mornings: how long to idle before work, and whether a lamp that lights cold "
    "means anything.",
    "catalogue.filter_warm_up.assumes": "The bypass is a valve beside the element that opens bit by bit; both feel the same "
    "pressure. The element is as dirty as was told.",
    "catalogue.filter_warm_up.limits": "All of the bypass must be known: where it begins to open, where it is open, and what "
    "passes it then. A lamp is never to be ignored; the machine's manual comes first.",
    # catalogue: what comes back
    "catalogue.return_flow.what": "How much oil comes back through the return filter when a rod is driven in: more than the "
    "pump gives, because the bore side is larger than the rod side.",
    "catalogue.return_flow.when": "When a return filter or its bypass is judged, or when another cylinder or attachment goes "
    "on.",
    "catalogue.return_flow.assumes": "Steady motion, the whole pump on one cylinder, nothing lost on the way but the case "
    "drain. A pump's flow is known to a twentieth.",
    "catalogue.return_flow.limits": "One pump and one double-acting cylinder; what sinks by its own weight sends back more and "
    "is not in it. A machine's data sheet works out all functions.",
    # catalogue: life left
    "catalogue.element_left.question": "How much life has this element left?",
    "catalogue.element_left.what": "What the indicator's reading means: the share of the element's life that is left, with its "
    "range, or that less is read than a clean element would give.",
    "catalogue.element_left.when": "When you read an indicator or a pressure gauge across the filter, with warm oil at a flow "
    "that you know.",
    "catalogue.element_left.assumes": "The element's drop grows exponentially with the dirt it holds, from clean to full. The "
    "indicator feels what the bypass feels. Thermometer good to 2 K, viscosity to a tenth, flow to a twentieth.",
    "catalogue.element_left.limits": "Cold oil or little flow makes the range too wide to go by. A lamp that only lights has one "
    "reading: put in where it lights. The service interval holds whatever the reading says.",
    "catalogue.element_left.note": "A reading never makes a service interval longer.",
    # catalogue: hours to full
    "catalogue.element_hours.question": "How long will the element last?",
    "catalogue.element_hours.what": "Hours until the element is full, until the lamp comes on where that is known, and until the "
    "bypass begins to let oil past; and how dirty that makes the oil.",
    "catalogue.element_hours.when": "When an element fills faster than its interval, in dusty work or after a repair; or to see "
    "what an open bypass does.",
    "catalogue.element_hours.assumes": "All dirt that gets in is caught in the end. The work ahead is like the work behind. "
    "Known to a factor: the dirt that gets in; to a fifth: what the element holds; to a tenth: what it holds now.",
    "catalogue.element_hours.limits": "Tell either the dirt that gets in, with what the element holds, or the hours so far, with "
    "how full it is. Never a reason to go past the service interval of the manual.",
    "catalogue.element_hours.needed_for": "the hours until it is full",
    "catalogue.element_hours.one_of_two": "it follows from the dirt that gets in; tell one of the two",
    # catalogue: what β means
    "catalogue.filter_beta.question": "What does β mean for the dirt?",
    "catalogue.filter_beta.what": "How many of 1000 particles stay in the element, how many when a part of the oil goes past it, "
    "and what that does to the oil in the tank.",
    "catalogue.filter_beta.when": "When elements are compared, or somebody offers a finer one: whether it would make the oil "
    "cleaner.",
    "catalogue.filter_beta.assumes": "β is for particles of its size and larger, as the test stand found it with steady flow. "
    "On a machine, with jolts and cold oil, it is less.",
    "catalogue.filter_beta.limits": "β from 1 to a million. It says nothing of how much dirt an element holds, nor of whether "
    "it stands up to the pressure.",
    "catalogue.filter_beta.needed_for": "what stays in the element",
    "catalogue.filter_beta.one_of_two": "it follows from β; tell one of the two",
    "catalogue.filter_beta.kept": "Of 1000 particles of its size and larger, {kept} stay in the element and {through} go through.",
    "catalogue.filter_beta.bypassed": "With {past_share} of the flow past it, {kept} stay: together they work like β "
    "{effective:1}. No element, however fine, gets above β {most:1} then.",
    "catalogue.filter_beta.nothing": "It keeps nothing back: the tank only gets dirtier.",
    "catalogue.filter_beta.flat": "The tank holds {times:2} times what a perfect filter would leave: a higher β changes next to "
    "nothing. Less dirt getting in does, or more oil through the filter.",
    "catalogue.filter_beta.steep": "The tank holds {times:2} times what a perfect filter would leave.",
    # catalogue: what the tank settles at
    "catalogue.oil_settles.question": "How clean should the oil be with this filter?",
    "catalogue.oil_settles.what": "What the tank's count settles at with this filter and this much dirt getting in; and, with a "
    "count, whether that is as expected and what it cannot show.",
    "catalogue.oil_settles.when": "When a count or a code comes back and you ask whether the filter works; or whether a finer "
    "element would help.",
    "catalogue.oil_settles.assumes": "Oil well mixed and gone round long enough, dirt getting in evenly. A count is good to one "
    "step of the code, β - 1 and the dirt to a factor of 2.",
    "catalogue.oil_settles.limits": "All figures are for one size and larger: the one that β is for. No count tells more dirt "
    "from oil that goes past the element, and half of the flow may go past before a count shows it: open the filter and "
    "look.",
    "catalogue.oil_settles.number": "That is scale number {number} of the cleanliness code, {low} to {high}.",
    # catalogue: how long to clean
    "catalogue.cleaning_time.question": "How long does it take to clean the oil?",
    "catalogue.cleaning_time.what": "How long the oil must go round until its count has come down to what you want, or what the "
    "count is after a time.",
    "catalogue.cleaning_time.when": "After a repair, or when oil is flushed through the machine's own filter or one on a cart.",
    "catalogue.cleaning_time.assumes": "Oil well mixed, all of it going round, dirt getting in evenly or not at all.",
    "catalogue.cleaning_time.limits": "Dead ends and cylinders that do not move keep their dirt, so it takes longer than this. "
    "What settles above the count wanted never gets there.",
    "catalogue.cleaning_time.needed_for": "the time",
    "catalogue.cleaning_time.one_of_two": "it follows from the count that is wanted; tell one of the two",
    # catalogue: how much gets in
    "catalogue.dirt_in.question": "How much dirt gets in?",
    "catalogue.dirt_in.what": "How many particles of a size and larger get in each minute, by one count in oil that has settled "
    "or by two counts some minutes apart.",
    "catalogue.dirt_in.when": "When a count is high and a breather, a wiper seal or a hose end is suspected; and again after it "
    "was put right.",
    "catalogue.dirt_in.assumes": "Oil well mixed, the share past the element as told (none, unless told). A count is good to "
    "one step of the code.",
    "catalogue.dirt_in.limits": "By counting nobody can tell dirt that gets in from oil that goes past the element: half of the "
    "flow past it looks like twice the dirt. Opening the filter tells.",
    "catalogue.dirt_in.needed_for": "the dirt between two counts",
    # catalogue: what a count tells
    "catalogue.count_tells.question": "What does my particle count tell of the filter?",
    "catalogue.count_tells.what": "What a code now against a code before can mean: more dirt getting in, oil past the element, or "
    "neither; and how much of the flow could go past without showing.",
    "catalogue.count_tells.when": "When an oil report comes back with a code, and you have one from when all was well.",
    "catalogue.count_tells.assumes": "Same machine, same kind of work, same place of the sample, oil that has gone round long "
    "enough.",
    "catalogue.count_tells.limits": "One step is no more than two samples of the same oil may differ by. So about half of the "
    "flow may go past the element and no code shows it. A good code is no proof of a good filter.",
    "catalogue.count_tells.note": "A code cannot tell more dirt from an open bypass, a torn element or a missing one. A look "
    "into the filter can.",
    # catalogue: the code that is expected
    "catalogue.expected_code.question": "Which code should the oil have with this filter?",
    "catalogue.expected_code.what": "Between which cleanliness codes the oil should be with this filter and this much dirt, and how "
    "a code that was found stands to them.",
    "catalogue.expected_code.when": "When a filter is chosen or a finer element is bought, and when a laboratory's code looks worse "
    "than the filter should leave it.",
    "catalogue.expected_code.assumes": "Well-mixed oil that has gone round long enough; the same dirt all the time. β of the element "
    "for each size; in the field it may be off by a factor of two.",
    "catalogue.expected_code.limits": "How much dirt gets in is seldom known to better than a factor of two: tell a good machine's "
    "first, worked out from its own count. A code is good to one step.",
    "catalogue.expected_code.rises": "fewer particles than of {size_um} and more, which are among them",
    "catalogue.expected_code.beta": "with it more particles of 14 µm would stay than of 6 µm or 4 µm, which they are among",
    "catalogue.input.particles4": "Particles of 4 µm and more that get in",
    "catalogue.input.particles6": "Particles of 6 µm and more that get in",
    "catalogue.input.particles14": "Particles of 14 µm and more that get in",
    "catalogue.input.beta4": "β at 4 µm",
    "catalogue.input.beta6": "β at 6 µm",
    "catalogue.input.beta14": "β at 14 µm",
    "catalogue.field.cleanest_code": "At the cleanest",
    "catalogue.field.dirtiest_code": "At the dirtiest",
    # catalogue: the pump's inlet
    "catalogue.pump_starves.question": "Below which temperature does the pump starve?",
    "catalogue.pump_starves.what": "The pressure left at the pump's inlet, and the oil temperature below which that is too little, "
    "at full speed and at idle.",
    "catalogue.pump_starves.needed_for": "the pump's inlet (no data sheet tells it)",
    "catalogue.pump_starves.of_sheet": "What was not typed is the data sheet's: its line, its strainer, its pumps.",
    "catalogue.pump_starves.when": "Before a cold start, when a pump rattles or howls in the cold (cavitation), and when a "
    "strainer, a suction hose or the oil's grade changes. A data sheet with its suction side fills most of it in.",
    "catalogue.pump_starves.assumes": "Steady flow through one round line with its bends and a strainer. What is not told is "
    "taken as: oil level with the pump, bends and entry 1.5, no strainer, tank open to the air. Viscosity known to a tenth, the oil's height to 50 mm.",
    "catalogue.pump_starves.limits": "A start that jerks the oil asks for more. Air drawn in at a loose clamp starves a pump "
    "at any temperature. What the pump's manual asks at its inlet comes before the usual 0.8 bar.",
    # catalogue: inputs, choices, fields
    "catalogue.input.indicator": "The indicator reads",
    "catalogue.input.gauge": "It can be read to",
    "catalogue.input.capacity": "Dirt the element holds until it is full",
    "catalogue.input.dirt": "Dirt that gets in",
    "catalogue.input.hours_on": "Hours since the element was new, in place of that",
    "catalogue.input.within": "Dirt known to within a factor of",
    "catalogue.input.beta": "β of the element",
    "catalogue.input.efficiency": "Share that it keeps back, in place of that",
    "catalogue.input.bypassed": "Share of the flow past the element",
    "catalogue.input.particles": "Particles that get in, of its size and larger",
    "catalogue.input.found": "Count now, of its size and larger",
    "catalogue.input.count_before": "Count at the beginning",
    "catalogue.input.wanted": "Count that is wanted",
    "catalogue.input.going": "Time that the oil goes round, in place of that",
    "catalogue.input.apart": "Time between the two counts",
    "catalogue.input.system": "Oil in the system",
    "catalogue.input.code_before": "Code when all was well, such as 18/16/13",
    "catalogue.input.code_now": "Code now",
    "catalogue.input.pipe": "Suction line, inner diameter",
    "catalogue.input.pipe_length": "Suction line, length",
    "catalogue.input.head": "Oil above the pump's inlet (below zero: the pump sits higher)",
    "catalogue.input.fittings": "Bends and entry (sum of their loss coefficients)",
    "catalogue.input.strainer": "Drop of the strainer at the reference (0: none)",
    "catalogue.input.least": "Least pressure the pump bears at its inlet, absolute",
    "catalogue.input.altitude": "Height above the sea",
    "catalogue.input.tank": "Pressure in the tank, above the open air",
    "catalogue.choice.as_expected": "as expected",
    "catalogue.choice.dirtier": "dirtier than expected",
    "catalogue.choice.cleaner": "cleaner than expected",
    "catalogue.choice.sizes_differ": "not every size alike",
    "catalogue.field.left_share": "Life left",
    "catalogue.field.clean_bar": "A clean element reads",
    "catalogue.field.full_bar": "A full element reads",
    "catalogue.field.full_h": "Full in",
    "catalogue.field.lamp_h": "Lamp on in",
    "catalogue.field.opens_h": "Bypass begins to open in",
    "catalogue.field.past_full_share": "Past the full element",
    "catalogue.field.dirtier": "Times as dirty then",
    "catalogue.field.dirt_g_h": "Dirt that gets in",
    "catalogue.field.beta": "β",
    "catalogue.field.kept_of_1000": "Of 1000, the element keeps",
    "catalogue.field.effective_beta": "β with what goes past it",
    "catalogue.field.kept_together_of_1000": "Of 1000, both keep",
    "catalogue.field.tank_times": "Tank, times a perfect filter's",
    "catalogue.field.tank_per_ml": "The tank settles at",
    "catalogue.field.scale_number": "Scale number of the code",
    "catalogue.field.behind_per_ml": "Behind the filter",
    "catalogue.field.flat_per_ml": "With a perfect filter",
    "catalogue.field.times": "Found over expected",
    "catalogue.field.explains_share": "Past the element, were it that alone",
    "catalogue.field.hidden_share": "Past the element without showing, up to",
    "catalogue.field.takes_minutes": "Minutes it takes",
    "catalogue.field.then_per_ml": "Count then",
    "catalogue.field.settles_per_ml": "It goes towards",
    "catalogue.field.halves_minutes": "Minutes for half of the way",
    "catalogue.field.particles_million_min": "Gets in",
    "catalogue.field.half_million_min": "Gets in, were half of the flow past the element",
    "catalogue.field.count_verdict": "The count is",
    "catalogue.field.code_steps": "Steps of the code up",
    "catalogue.field.starves_below_c": "Starves below, full speed",
    "catalogue.field.idle_starves_below_c": "Starves below, idle",
    "catalogue.field.inlet_bar": "At the inlet now, absolute",
    "catalogue.field.speed_m_s": "Speed in the line",
}
