"""What an invented mechanic finds, in own words: each with where, how urgent, and what it may cost in whole money."""

from __future__ import annotations

from collections.abc import Mapping

from coldmark.demo.mechanic import Finding

__all__ = ["BY_STORY", "EVERYDAY", "SETTLED_WITH"]

BY_STORY: Mapping[str, Finding] = {
    "leak": Finding(
        "leak",
        "hydraulic",
        "plan_for_it",
        "The boom cylinder's gland sweats and drips when warm. New seals at the next long stop; until then look at the "
        "glass every week.",
        "leaks",
        cost=(280, 420),
        waiting=(900, 1600),
    ),
    "chafed_hose": Finding(
        "chafed_hose",
        "hydraulic",
        "before_next_work",
        "The arm hose rubs on the bracket and the cover is through to the wire. A new hose and a sleeve over it.",
        "leaks",
        photos=("hose",),
        cost=(90, 150),
        waiting=(700, 2400),
    ),
    "cracked_hose": Finding(
        "cracked_hose",
        "hydraulic",
        "plan_for_it",
        "The return hose at the tank is hard and cracked at the fitting; no oil yet. Change it with the next service.",
        "leaks",
        photos=("hose",),
        cost=(60, 110),
        waiting=(400, 900),
    ),
    "dark_residue": Finding(
        "dark_residue",
        "return",
        "keep_watching",
        "Dark, soft residue between the pleats. It may be old oil; the sample will tell. Look again in 250 hours.",
        "debris",
        photos=("element",),
    ),
    "bronze_flakes": Finding(
        "bronze_flakes",
        "return",
        "plan_for_it",
        "A pinch of fine bronze on the magnet's cloth, not magnetic. Sample taken; a second look in 100 hours and plan "
        "for a pump.",
        "debris",
        photos=("element",),
        cost=(60, 90),
        waiting=(2800, 5200),
    ),
    "worn_part": Finding(
        "worn_part",
        "machine",
        "plan_for_it",
        "The bucket pin and its bushes have four millimetres of play. New ones before the bores go.",
        "clean_up",
        cost=(180, 260),
        waiting=(600, 1100),
    ),
    "water": Finding(
        "water",
        "hydraulic",
        "before_next_work",
        "The oil is milky in the glass and a spoon of water came out at the drain. New oil, and find where it comes "
        "in: the cap's seal is flat.",
        "leaks",
        cost=(420, 560),
        waiting=(1500, 4000),
    ),
}

EVERYDAY: tuple[Finding, ...] = (
    Finding("loose_part", "machine", "keep_watching", "Two bolts of the belly plate were loose; tightened.", "park"),
    Finding(
        "worn_part", "machine", "plan_for_it", "The fan belt is glazed. Change it this summer.", "key", cost=(35, 60)
    ),
    Finding("rust", "machine", "keep_watching", "The battery tray rusts through at one corner.", "clean_up"),
    Finding(
        "leak",
        "engine",
        "keep_watching",
        "A weep at the valve cover, no drop. Wiped dry, look again next time.",
        "leaks",
    ),
    Finding(
        "damage",
        "machine",
        "plan_for_it",
        "The work light on the left is broken, its glass is out.",
        "clean_up",
        cost=(40, 70),
    ),
    Finding(
        "chafed_hose",
        "hydraulic",
        "before_next_work",
        "A hose to the attachment rubs at the quick coupling. Ordered; come back this week.",
        "leaks",
        cost=(70, 120),
        waiting=(500, 1500),
    ),
    Finding(
        "dark_residue",
        "return",
        "keep_watching",
        "A little dark sludge on the element's bottom. Nothing metallic.",
        "debris",
        photos=("element",),
    ),
)

SETTLED_WITH: Mapping[str, str] = {
    "loose_part": "Still tight, marked with paint.",
    "worn_part": "New part fitted.",
    "rust": "Cleaned and painted.",
    "leak": "New seal, dry after an hour's work.",
    "damage": "Replaced.",
    "chafed_hose": "New hose with a sleeve, clear of the edge.",
    "dark_residue": "Clean this time.",
}
