"""Sums on cylinders, tanks and accumulators: how they are explained."""

MESSAGES: dict[str, str] = {
    "catalogue.rod_volume.what": "The oil that leaves the tank when a rod moves out, and what the cylinder holds at both ends.",
    "catalogue.rod_volume.when": "To see why the level falls as an arm goes up, or how much oil a cylinder takes along.",
    "catalogue.rod_volume.assumes": "Cylinders full of oil, without air. A rod through both ends draws nothing; a dry rod side draws the whole bore.",
    "catalogue.rod_volume.limits": "Straight cylinders. Regeneration changes how fast it goes, never how much.",
    "catalogue.tank_volume.what": "The litres in a tank at a height: for a box, a standing or lying cylinder, or a table of heights.",
    "catalogue.tank_volume.when": "When a dipstick in millimetres is to tell litres, or a sheet lacks the litres between the marks.",
    "catalogue.tank_volume.assumes": "Sizes inside, flat ends, the tank level and nothing standing in it.",
    "catalogue.tank_volume.limits": "Ribs, baffles and filters inside take room that is not taken off. Between the rows of a table the line is straight.",
    "catalogue.accumulator_oil.what": "The oil that an accumulator holds above its gas charge, and gives back to the tank when it is let off.",
    "catalogue.accumulator_oil.when": "Before an accumulator is let off with the tank already full, and when a level differs with and without pressure.",
    "catalogue.accumulator_oil.assumes": "A sound gas charge at the temperature it was set at. Slow filling has an exponent of 1, quick filling up to 1.4.",
    "catalogue.accumulator_oil.limits": "Below its gas charge it holds nothing. Letting it off and charging it is licensed work in many places: follow the manual and local law.",
}
