"""The emergency card: first things to do, what to tell those who help, and how far each is read or remembered.

Injection: a safety text on high-pressure injection, as printed in a stored excerpt. Burns: first-aid advice of hospitals
and of first-aid trainers, as printed in stored excerpts, most with 20 minutes of cooling (one with 10 to 30). Crush: the
same kind of excerpts, which differ on how long after the accident a weight may still be taken off (10, 15 or 30 minutes,
or at any time). Fire: general advice on extinguishers for burning liquids, as printed in stored excerpts. Spill: 40 CFR
279.22(d) (stop, contain, clean up) and the advice of an environment agency, as printed in stored excerpts. All else is
common practice, no source.
"""

MESSAGES: dict[str, str] = {
    "app.urgent_what": "What happened?",
    "app.urgent_call": "Call the emergency number of the country you are in.",
    "app.urgent_call_112": "Call 112",
    "app.urgent_call_hint": (
        "On a mobile phone, 112 is put through to the emergency services in most countries; where you know the local "
        "number, take that. What they tell you goes before what stands here."
    ),
    "app.urgent_do": "Do this first",
    "app.urgent_tell": "Tell them",
    "app.urgent_others": "Something else happened",
    "app.urgent_from": "Where this comes from",
    "app.urgent_from_all": (
        "First things only, for people who work on machines. It takes the place of no first-aid course, and gives way to "
        "what doctors, rescuers, the site's rules and the law say."
    ),
    # where one is
    "app.urgent_where": "Where are you?",
    "app.urgent_where_ask": "Show my position",
    "app.urgent_where_again": "Look again",
    "app.urgent_where_waits": "Looking for the position. Outdoors, under open sky, it is found soonest.",
    "app.urgent_where_read": "Read this aloud:",
    "app.urgent_where_north": "{degrees} north",
    "app.urgent_where_south": "{degrees} south",
    "app.urgent_where_east": "{degrees} east",
    "app.urgent_where_west": "{degrees} west",
    "app.urgent_where_near": "in degrees, right to about {metres} m",
    "app.urgent_where_last": "At {time} this phone was used for work on {machine}. It stands here:",
    "app.urgent_where_today": "The sites of today:",
    "app.urgent_where_others": "Other sites of today:",
    "app.urgent_where_denied": (
        "This phone does not let the app have its position. Tell them the road, the site and what stands near."
    ),
    "app.urgent_where_none": "The position is not to be had now. Tell them the road, the site and what stands near.",
    # oil under the skin
    "app.urgent_injection": "Oil went under the skin",
    "app.urgent_injection_says": (
        "A jet went into a hand or an arm. It may look like a pinprick and hardly hurt. It is an emergency all the same: "
        "gloves do not stop it."
    ),
    "app.urgent_injection_do_1": "Stop the engine. Nobody goes near the leak.",
    "app.urgent_injection_do_2": (
        "Go to a hospital with surgeons now. Do not wait for pain or swelling: a few hours decide about the hand."
    ),
    "app.urgent_injection_do_3": "The one who is hurt does not drive. If nobody else can at once, call.",
    "app.urgent_injection_do_4": "Rings and watch off. Keep the limb still, cover the spot loosely.",
    "app.urgent_injection_do_5": "Do not press, suck or cut it. Nothing to eat or drink: surgery is likely.",
    "app.urgent_injection_do_6": "Take the oil's safety data sheet along, or a photo of the label on its drum.",
    "app.urgent_injection_tell_1": "“High-pressure injection injury.” Say these words, and ask for a hand surgeon.",
    "app.urgent_injection_tell_2": "What went in: hydraulic oil, its name, and that it was under high pressure.",
    "app.urgent_injection_tell_3": "When it happened, where it went in, and how hot the oil was.",
    "app.urgent_injection_from": (
        "Read in a safety text, as printed in a stored excerpt: a jet goes through skin from about 0.7 MPa (100 psi) and "
        "through gloves; it looks harmless, is misjudged, and wants surgery within a few hours. The rest is common "
        "practice, no source."
    ),
    # burns
    "app.urgent_burn": "A burn or a scald",
    "app.urgent_burn_says": "Hot oil, steam, an exhaust, a flame.",
    "app.urgent_burn_do_1": "Away from the heat. Oily, hot clothes off, but not what sticks to the skin.",
    "app.urgent_burn_do_2": "Cool it with cool running water for 20 minutes. Begin now. No ice, no cream, no grease.",
    "app.urgent_burn_do_3": "Rings, watch and boots off before it swells. Keep the rest of the body warm.",
    "app.urgent_burn_do_4": "Then cover it loosely with cling film or a clean bag, but not the face. Leave blisters alone.",
    "app.urgent_burn_do_5": (
        "Call when it is larger than a hand, is white or charred, is in the face, on hands, feet or groin or all round a "
        "limb, when smoke was breathed in, or when you are in doubt."
    ),
    "app.urgent_burn_tell_1": "What burned: hot oil and about how hot, steam, metal or flame.",
    "app.urgent_burn_tell_2": "Where on the body, and how large, counted in hands.",
    "app.urgent_burn_tell_3": "When it happened, and how long it has been cooled.",
    "app.urgent_burn_from": (
        "Read in the first-aid advice of hospitals and trainers, as printed in stored excerpts; one of them has 10 to 30 "
        "minutes of cooling, the others 20."
    ),
    # crush
    "app.urgent_crush": "Somebody is trapped or crushed",
    "app.urgent_crush_says": "Under a raised part, between machine and wall, under a load.",
    "app.urgent_crush_do_1": "Stop every movement. Nobody goes under anything that can still come down.",
    "app.urgent_crush_do_2": "Call. Leave the line open.",
    "app.urgent_crush_do_3": (
        "It has only just happened, and the weight can be lifted safely and propped: take it off. Off head, neck and chest "
        "always at once."
    ),
    "app.urgent_crush_do_4": (
        "A limb has been trapped for more than about 15 minutes: ask on the line before you free it. Freeing it late can "
        "be dangerous in itself."
    ),
    "app.urgent_crush_do_5": "Press hard on what bleeds, and go on pressing.",
    "app.urgent_crush_do_6": "No normal breathing: press the chest, hard and fast, as they tell you on the line.",
    "app.urgent_crush_do_7": "Keep the person warm and still, and stay with them. Nothing to drink.",
    "app.urgent_crush_tell_1": "That somebody is trapped, since when, by what, and about how heavy it is.",
    "app.urgent_crush_tell_2": "Awake or not, breathing or not, bleeding or not.",
    "app.urgent_crush_tell_3": "How to reach you: gate, track, who will stand at the road.",
    "app.urgent_crush_from": (
        "Read in the advice of first-aid trainers, as printed in stored excerpts, which differ on how long after the "
        "accident a weight may be taken off: 10, 15 or 30 minutes, or at any time. That is why you ask. The rest is common "
        "practice, no source."
    ),
    # oil fire
    "app.urgent_fire": "Oil or the machine is on fire",
    "app.urgent_fire_says": "People first. A machine can be replaced.",
    "app.urgent_fire_do_1": "Everybody away and upwind. Count who is there.",
    "app.urgent_fire_do_2": "Call.",
    "app.urgent_fire_do_3": "Only on your way out and without reaching into smoke: engine off, battery switch off.",
    "app.urgent_fire_do_4": (
        "Only while it is small, with the way out behind you: powder, foam or carbon dioxide marked for class B, at the "
        "foot of the flames."
    ),
    "app.urgent_fire_do_5": "No water on burning oil: it throws the fire about.",
    "app.urgent_fire_do_6": (
        "Not out with one extinguisher, or near tyres, accumulators, gas bottles or a fuel tank: leave it. They can burst."
    ),
    "app.urgent_fire_do_7": "Clothes on fire: down, roll, smother it with a blanket, then water.",
    "app.urgent_fire_tell_1": "What burns: machine, oil and fuel, and about how many litres.",
    "app.urgent_fire_tell_2": "Whether somebody is missing or hurt.",
    "app.urgent_fire_tell_3": "That there are accumulators, tyres, gas bottles, if there are. How to reach you.",
    "app.urgent_fire_from": (
        "Read in general advice on burning liquids, as printed in stored excerpts: extinguishers of class B, no water. "
        "That tyres and accumulators can burst is common practice, no source."
    ),
    # spill
    "app.urgent_spill": "Oil has run out",
    "app.urgent_spill_says": "On the ground, towards a drain, into water.",
    "app.urgent_spill_do_1": "Engine off. Never a hand in front of a jet; let the pressure off before you touch the leak.",
    "app.urgent_spill_do_2": "Stop it: plug it, shut the valve, put a pan or a bucket under it. No flame, no smoking.",
    "app.urgent_spill_do_3": "Dam it up with earth, sand or binder, drains, ditches and water first.",
    "app.urgent_spill_do_4": "Soak it up. Do not wash it away, and use no detergent.",
    "app.urgent_spill_do_5": (
        "It has reached water or a drain, or is more than you can soak up: call at once, and tell the owner of the site."
    ),
    "app.urgent_spill_do_6": "Binder and soiled earth into closed containers with a label; they are waste by local law.",
    "app.urgent_spill_tell_1": "Which oil, and about how many litres.",
    "app.urgent_spill_tell_2": "Where it has gone: ground, drain, ditch, water, and which way that flows.",
    "app.urgent_spill_tell_3": "What you have done, and that somebody stays there.",
    "app.urgent_spill_from": (
        "Read as printed in stored excerpts: 40 CFR 279.22(d), stop, contain, clean up; and an environment agency's advice "
        "on dams, drains and detergents. Whom to call differs from country to country."
    ),
}
