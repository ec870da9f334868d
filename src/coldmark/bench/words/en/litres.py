"""The litres of a job."""

MESSAGES: dict[str, str] = {
    "litres.cannot.into": "it goes into the machine ({way}), and counts above zero",
    "litres.cannot.out_of": "it goes out of the machine ({way}), and counts below zero",
    "working.litres.at_15": "What was moved, at 15 °C",
    "working.litres.unexplained": "Litres that nothing explains, at 15 °C",
    "litres.none": "No oil was moved.",
    "litres.moved": "Out {out_l}, in {in_l}, both at {base_c}.",
    "litres.attachment_on": "An attachment brought {moved_l} with it.",
    "litres.attachment_off": "An attachment took {moved_l} with it.",
    "litres.water_drained": "{moved_l} of water were let off.",
    "litres.levels": "Posture and temperature are taken into account, from the levels as found and as left.",
    "litres.same_level": "Without a level before and after, the level is taken to be the same.",
    "litres.square": "That is square, as far as cans can be read (within {high_l}).",
    "litres.missing": "{rest_l} more went in than shows ({low_l} to {high_l}). Look for a leak or for places not yet "
    "filled before leaving.",
    "litres.too_much": "{rest_l} more is there than went in ({low_l} to {high_l}). Look whether the oil is milky, "
    "foams or comes from another compartment before leaving.",
    "litres.more_in": "{rest_l} more went in than came out ({low_l} to {high_l}). Does the glass stand that much "
    "higher?",
    "litres.more_out": "{rest_l} more came out than went in ({low_l} to {high_l}). Does the glass stand that much "
    "lower?",
    # how the sum is explained
    "catalogue.litres_balance.what": "Whether what was drained, poured, spilt and sampled adds up, each at 15 °C.",
    "catalogue.litres_balance.when": "At the end of an oil change, before leaving: a tank drained hot and filled cold is not short.",
    "catalogue.litres_balance.assumes": (
        "Cans are read to 2 %, temperatures to 2 K. Where none was taken, the temperature that is told for the rest."
    ),
    "catalogue.litres_balance.limits": (
        "Without levels before and after it takes the level to be the same. Water and other fluids are not oil: tell them "
        "apart."
    ),
}
