"""Seals: sizes, grooves, materials, their pictures, and the sums about them."""

MESSAGES: dict[str, str] = {
    # why a value cannot be
    "seal.why.the_size": "the size",
    "seal.why.the_ring": "the search for its ring",
    "seal.why.the_stretch": "the fit of the ring",
    "seal.why.ring_too": "measures of a ring are given too; give the ring or the groove",
    "seal.why.groove_too": "a groove is given; give the ring or the groove",
    "seal.why.width": "less {inner_mm:given} inside it has to be about {apart_mm:given}, twice the width of the groove",
    "seal.why.depth": "less {inner_mm:given} inside it has to be about {apart_mm:given}, twice the depth of the groove",
    "seal.why.face_moves": "the two faces of a face seal do not slide on each other",
    "seal.why.warmer": "it must not be warmer than the hottest, {hottest_c:given}",
    # workings
    "working.seal.inner_off": "How much wider it is than the nearest size",
    "working.seal.section_off": "How much thicker it is than the nearest size",
    "working.seal.squeeze": "Squeeze",
    "working.seal.stretch": "Stretch over the wall it hugs",
    "working.seal.oversize": "How much larger it is than the wall it lies against",
    "working.seal.fitted": "Thickness of the ring once it is in place",
    "working.seal.fill": "How full the groove is",
    "working.seal.stands_fluid": "The material in this fluid",
    "working.seal.stands_cold": "The material in the cold",
    "working.seal.stands_hot": "The material in the heat",
    # which ring
    "seal.size": "{size} ({inner_mm:fine} × {section_mm:fine})",
    "seal.more": "; and {count} more",
    "seal.ring.one": "It is size {size}: {inner_mm:fine} inside, {section_mm:fine} thick.",
    "seal.ring.several": "More than one size is within tolerance: {sizes}. Measure again, at three places.",
    "seal.ring.near": (
        "Nearly: {sizes}. It is outside of the tolerance, but by no more than a calliper can be wrong. "
        "Measure again, at three places, without pressing."
    ),
    "seal.ring.candidates": (
        "An old ring is stretched and flattened, so it may have been: {sizes}. "
        "Measure the groove, or take the number from the parts list."
    ),
    "seal.ring.none": "Not in this table. Do not put the nearest one in its place.",
    "seal.groove.one": "Size {size} fits this groove: {inner_mm:fine} inside, {section_mm:fine} thick.",
    "seal.groove.several": "More than one size fits this groove: {sizes}. The parts list says which was meant.",
    "seal.groove.near": "In doubt: {sizes}. One source lets them lie in this groove, another does not.",
    "seal.groove.none": "No size of this table fits this groove. Do not put the nearest one in its place.",
    "seal.groove.nearest": "Nearest, and not to be fitted: {sizes}.",
    "seal.apart": "Nearest: {ring}; yours is {inner} and {section}.",
    "seal.yours": "Yours is {inner} and {section}.",
    "seal.off.inner.more": "{off_mm:fine} wider",
    "seal.off.inner.less": "{off_mm:fine} narrower",
    "seal.off.inner.same": "as wide",
    "seal.off.section.more": "{off_mm:fine} thicker",
    "seal.off.section.less": "{off_mm:fine} thinner",
    "seal.off.section.same": "as thick",
    "seal.other_series": (
        "Metric and JIS rings are not in this table, and a few of them measure nearly the same: "
        "the number on the bag or in the parts list decides."
    ),
    # does it fit
    "seal.fits": "Fits: {what}, {filled}.",
    "seal.fits.backed": "Fits: {what}.",
    "seal.near": "In doubt: {what}. One source allows it, another does not.",
    "seal.does_not_fit": "Does not fit: {what}.",
    "seal.what.squeeze": "squeezed by {value_share:fine}",
    "seal.what.squeeze.less": "the groove is {value_share:fine} deeper than the ring is thick",
    "seal.what.stretch": "stretched by {value_share:fine}",
    "seal.what.stretch.less": "{value_share:fine} too wide for what it goes round",
    "seal.what.oversize": "{value_share:fine} larger than the wall it lies against",
    "seal.what.oversize.less": "{value_share:fine} smaller than the wall it should lie against",
    "seal.what.fill": "the groove {value_share:fine} full",
    "seal.what.clearance": "a gap of {gap_mm:fine} beside the groove",
    "seal.fit.stretch": "It is stretched by {value_share:fine}, which it bears.",
    "seal.fit.oversize": "It is {value_share:fine} larger than the wall it lies against, and so stays there.",
    "seal.then.squeeze.none": "It does not touch the other side, and cannot seal.",
    "seal.then.squeeze.low": "With too little squeeze it leaks, first when it is cold.",
    "seal.then.squeeze.high": "With too much squeeze it is crushed, and the parts do not come together evenly.",
    "seal.then.stretch.low": "It lies loose, and may be pinched when the parts go together.",
    "seal.then.stretch.high": "Stretched so far it grows thin and cracks early.",
    "seal.then.oversize.low": "Pressure pushes it outwards each time until it reaches the wall, and it wears.",
    "seal.then.oversize.high": "It has to be crammed in; a part of it stands up and is pinched.",
    "seal.then.fill.low": "In so wide a groove it can roll and twist.",
    "seal.then.fill.high": "Rubber swells in oil: with no room left it is pressed out between the metal.",
    "seal.then.clearance.low": "The gap is small enough.",
    "seal.then.clearance.high": "Under pressure the ring creeps into the gap and is nibbled away.",
    "seal.limit.between": "{low_share:fine} to {high_share:fine}",
    "seal.limit.most": "up to {high_share:fine}",
    "seal.limit.clearance": "up to {high_mm:fine}",
    "seal.source": "{limit} ({source})",
    "seal.sources": "Here: {what}. What the sources allow: {sources}.",
    "seal.worst": "At the worst of its tolerance and of your reading it is squeezed by {low_share:fine} to {high_share:fine}.",
    "seal.loss": (
        "Drawn over, it loses {loss_share:fine} of its thickness (by the rule of half the stretch {rule_share:fine}), "
        "which leaves it squeezed by {left_share:fine}."
    ),
    "seal.backed": "With back-up rings in the groove its filling is not judged.",
    "seal.no_width": "The groove tables have no ring of this thickness with as many back-up rings.",
    "seal.width": "The groove tables make it {wanted_mm:fine} wide for this thickness; yours is {width_mm:fine}.",
    "seal.care": "A new ring each time, oiled, over no sharp edge and not twisted.",
    # does the material stand the oil
    "seal.stands.suits": "{material} suits {fluid} from {coldest_c} to {hottest_c}.",
    "seal.stands.does_not": "{material} does not stand {fluid} in this service.",
    "seal.stands.ask": "Ask the supplier before {material} goes into {fluid}.",
    "seal.stands.fluid.does_not": "{material} swells, softens or goes hard in {fluid}.",
    "seal.stands.fluid.ask": "Not every {material} suits {fluid}, or sources differ.",
    "seal.stands.fluid.unknown": "Nothing is known here of {material} in {fluid}.",
    "seal.stands.cold.ask": "At {t_c} it may be too stiff: sources set the limit between {loose_c} and {strict_c}.",
    "seal.stands.cold.does_not": "At {t_c} it is too stiff to seal: no source goes below {loose_c}.",
    "seal.stands.hot.ask": "At {t_c} it may not last: sources set the limit between {strict_c} and {loose_c}.",
    "seal.stands.hot.does_not": "At {t_c} it goes hard and cracks: no source goes above {loose_c}.",
    "seal.known": "How well it is known: the fluid, {fluid}; the cold, {cold}; the heat, {hot}.",
    "seal.standing.as_printed": "read in print",
    "seal.standing.from_memory": "remembered",
    "seal.standing.not_known": "not known",
    "seal.supplier": "One {material} is not the next: the supplier's sheet and the machine's manual decide.",
    "seal.answer.suits": "suits",
    "seal.answer.ask": "ask",
    "seal.answer.does_not": "does not",
    "seal.fluid.mineral": "mineral oil",
    "seal.fluid.polyalphaolefin": "polyalphaolefin",
    "seal.fluid.ester": "synthetic ester",
    "seal.fluid.vegetable": "vegetable oil",
    "seal.fluid.glycol": "polyglycol",
    "seal.fluid.water_glycol": "water glycol",
    "seal.fluid.phosphate_ester": "phosphate ester",
    "seal.fluid.brake_glycol": "brake fluid on glycol",
    "seal.fluid.brake_mineral": "brake fluid on mineral oil",
    "seal.fluid.coolant": "coolant",
    "seal.fluid.diesel": "diesel fuel",
    "seal.fluid.family": "a fluid of the family {family}",
    # pictures
    "picture.ring.name": "Size {size}",
    "picture.ring.unnamed": "Ring",
    "picture.ring.says": "A ring from above and cut through: {inner} inside, {section} thick.",
    "picture.ring.inner": "{inner} inside",
    "picture.ring.section": "{section} thick",
    "picture.groove.title": "Ring in its groove",
    "picture.groove.says": (
        "A ring {section_mm:fine} thick in a groove {depth_mm:fine} deep and {width_mm:fine} wide, cut through: "
        "squeezed by {squeeze_share:fine}, the groove {fill} full."
    ),
    "picture.groove.loose": (
        "A ring {section_mm:fine} thick in a groove {depth_mm:fine} deep and {width_mm:fine} wide, cut through: "
        "it does not touch the other side."
    ),
    "picture.groove.pressure": "pressure",
    "picture.groove.kind.face_inside": "in a face, pressure inside",
    "picture.groove.kind.face_outside": "in a face, pressure outside",
    "picture.groove.kind.spigot": "round a spigot",
    "picture.groove.kind.bore": "in a bore",
    # the sums: questions, and what their pages say
    "catalogue.ring_size.question": "Which ring is this?",
    "catalogue.ring_size.what": (
        "The size of an O-ring from its two measures: inside diameter and thickness. "
        "A new ring gives one size, or none; an old one gives those that it may have been."
    ),
    "catalogue.ring_size.when": (
        "When a ring came without a bag, or nobody knows what was fitted. "
        "Where you can, measure the groove as well, and ask which ring belongs in it."
    ),
    "catalogue.ring_size.assumes": (
        "The ring lies free and round, and the calliper does not press it. "
        "A new ring may be off by the standard's tolerance. An old one may have been stretched by up to 5%, "
        "have shrunk by 2%, be flattened by up to 25% and swollen by 5%: common practice, no source."
    ),
    "catalogue.ring_size.limits": (
        "349 sizes of ISO 3601-1, class A. Sizes for tube fittings, metric rings and JIS rings are not in the table: "
        "a ring that is not in it is not the nearest one. The size says nothing of the material."
    ),
    "catalogue.ring_size.new_ring": "Measure without pressing, at three places, and take the middle value.",
    "catalogue.ring_size.old_ring": "An old ring goes into the waste, not back into its groove.",
    "catalogue.groove_ring.question": "Which ring belongs in this groove?",
    "catalogue.groove_ring.what": (
        "The sizes that are squeezed, stretched and given room in a groove as the sources want it, likeliest first."
    ),
    "catalogue.groove_ring.when": "When the old ring is missing, torn or too worn to be measured.",
    "catalogue.groove_ring.assumes": (
        "A groove with straight walls, clean and not worn. The depth is all the room that the ring has across, "
        "the gap to the other part included."
    ),
    "catalogue.groove_ring.limits": (
        "Only sizes of ISO 3601-1. A groove may have been made for a metric or JIS ring that this table does not have: "
        "the machine's parts list decides."
    ),
    "catalogue.ring_gland.question": "Does this ring fit its groove?",
    "catalogue.ring_gland.what": (
        "How far the ring is squeezed and stretched, how full the groove is, and what the stretch takes from its thickness, "
        "against the limits of several sources."
    ),
    "catalogue.ring_gland.when": (
        "When a ring is at hand and nobody is sure that it is the right one, or when a joint leaks with a new ring in it."
    ),
    "catalogue.ring_gland.assumes": (
        "A groove with straight walls. In a face with the pressure inside, the ring lies against the outer wall; with the "
        "pressure outside, or under vacuum, against the inner one. Rubber keeps its volume when it is stretched."
    ),
    "catalogue.ring_gland.limits": (
        "The limits are those of design guides, and they differ: all are shown. They are not ISO 3601-2. "
        "Rotating shafts, tapered grooves and swelling in a wrong fluid are not judged."
    ),
    "catalogue.ring_gland.another": "size {size} has {nominal_mm:fine}; leave one of the two out",
    "catalogue.ring_gland.no_size": "a ring without its size number",
    "catalogue.seal_stands.question": "Will this rubber stand this oil?",
    "catalogue.seal_stands.what": (
        "Whether a seal material suits a fluid between the coldest and the hottest that it will be, or has to be asked about."
    ),
    "catalogue.seal_stands.when": (
        "Before a seal of another material goes in, and before a machine changes from mineral oil to a bio-oil."
    ),
    "catalogue.seal_stands.assumes": "The material as such, in service without a break, and a fluid that is what its label says. Engine and gear oils count as mineral oil.",
    "catalogue.seal_stands.limits": (
        "One compound is not the next: the supplier's sheet and the machine's manual decide. "
        "Much of the table is remembered and not read, and each answer says which."
    ),
    # the sums: inputs
    "catalogue.input.ring_state": "The ring is",
    "catalogue.input.ring_inner": "Inside diameter of the ring",
    "catalogue.input.ring_section": "Thickness of the ring",
    "catalogue.input.ring_name": "Size number, where it is known",
    "catalogue.input.groove_kind": "The groove is",
    "catalogue.input.groove_depth": "Depth of the groove, down to the floor with the parts together",
    "catalogue.input.groove_width": "Width of the groove",
    "catalogue.input.groove_inner": "Diameter inside: inner wall, floor round a spigot, or rod",
    "catalogue.input.groove_outer": "Diameter outside: outer wall, floor in a bore, or bore",
    "catalogue.input.moving": "It slides to and fro",
    "catalogue.input.backups": "Back-up rings beside it",
    "catalogue.input.clearance": "Gap between the parts, across both sides",
    "catalogue.input.material": "Material of the seal",
    "catalogue.input.fluid": "Fluid",
    "catalogue.input.seal_coldest": "Coldest that it gets",
    "catalogue.input.seal_hottest": "Hottest that it gets for long",
    "catalogue.choice.new_ring": "new",
    "catalogue.choice.old_ring": "old, it has been in use",
    "catalogue.choice.face_inside": "in a face, pressure inside",
    "catalogue.choice.face_outside": "in a face, pressure outside",
    "catalogue.choice.spigot": "round a spigot (stretched)",
    "catalogue.choice.bore": "in a bore (pushed in)",
    "catalogue.choice.NBR": "NBR, nitrile rubber",
    "catalogue.choice.HNBR": "HNBR, hydrogenated nitrile",
    "catalogue.choice.FKM": "FKM, fluorocarbon rubber",
    "catalogue.choice.EPDM": "EPDM, ethylene propylene rubber",
    "catalogue.choice.AU": "AU or EU, polyurethane",
    "catalogue.choice.VMQ": "VMQ, silicone rubber",
    "catalogue.choice.FVMQ": "FVMQ, fluorosilicone rubber",
    "catalogue.choice.CR": "CR, chloroprene rubber",
    "catalogue.choice.ACM": "ACM, polyacrylate rubber",
    "catalogue.choice.FEPM": "FEPM, TFE propylene rubber",
    "catalogue.choice.IIR": "IIR, butyl rubber",
    "catalogue.choice.PTFE": "PTFE, back-up rings",
    "catalogue.choice.mineral": "mineral oil (HL, HM, HV)",
    "catalogue.choice.polyalphaolefin": "polyalphaolefin (HEPR)",
    "catalogue.choice.ester": "synthetic ester (HEES)",
    "catalogue.choice.vegetable": "vegetable oil (HETG)",
    "catalogue.choice.glycol": "polyglycol (HEPG)",
    "catalogue.choice.water_glycol": "water glycol (HFC)",
    "catalogue.choice.phosphate_ester": "phosphate ester (HFD-R)",
    "catalogue.choice.brake_glycol": "brake fluid on glycol",
    "catalogue.choice.brake_mineral": "brake fluid on mineral oil",
    "catalogue.choice.coolant": "coolant",
    "catalogue.choice.diesel": "diesel fuel",
    # the sums: what comes out
    "catalogue.choice.one_size": "one size",
    "catalogue.choice.several_sizes": "several sizes",
    "catalogue.choice.near": "in doubt",
    "catalogue.choice.candidates": "candidates only",
    "catalogue.choice.not_in_table": "not in this table",
    "catalogue.choice.fits": "fits",
    "catalogue.choice.does_not_fit": "does not fit",
    "catalogue.choice.suits": "suits",
    "catalogue.choice.ask": "ask the supplier",
    "catalogue.choice.does_not": "does not suit",
    "catalogue.field.ring_answer": "Answer",
    "catalogue.field.ring_sizes": "Sizes",
    "catalogue.field.nominal_inner_mm": "The likeliest or nearest: inside",
    "catalogue.field.nominal_section_mm": "The likeliest or nearest: thickness",
    "catalogue.field.inner_off_mm": "Yours is wider by",
    "catalogue.field.section_off_mm": "Yours is thicker by",
    "catalogue.field.gland_answer": "Answer",
    "catalogue.field.squeeze_share": "Squeezed by",
    "catalogue.field.stretch_share": "Stretched by",
    "catalogue.field.oversize_share": "Larger than the wall it lies against by",
    "catalogue.field.fill_share": "Groove full",
    "catalogue.field.fitted_mm": "Thickness once in place",
    "catalogue.field.loss_share": "Thickness lost (below zero: gained)",
    "catalogue.field.stands_answer": "Answer",
    "catalogue.field.cold_limit_c": "Suits down to",
    "catalogue.field.coldest_named_c": "Coldest that any source names",
    "catalogue.field.hot_limit_c": "Suits up to",
    "catalogue.field.hottest_named_c": "Hottest that any source names",
}
