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
    "filter.drop": "The filter takes {total_bar}.",
    "filter.bypassed": "{bypassed_share} of the flow goes past the element, unfiltered.",
    "filter.return_flow": "Up to {total_l_min} come back through the return filter.",
    "filter.cracks.below": "At {flow_l_min} the bypass is open while the oil is below {below_c}.",
    "filter.cracks.never": "At {flow_l_min} even cold oil does not open the bypass of this element.",
    "filter.cracks.always": "At {flow_l_min} the bypass is open however warm the oil is: the element is full or too "
    "small.",
    "filter.half.below": "At {flow_l_min} more than half of it goes past the element while the oil is below {below_c}.",
    "filter.half.never": "At {flow_l_min} never more than half of it goes past the element.",
    "filter.half.always": "At {flow_l_min} more than half of it always goes past the element.",
    "filter.share_now": "Now, at {flow_l_min}, {now_share} of it goes past the element.",
    "alarm.cold": "With the oil at {oil_c} a clean element may light the lamp too. Idle without load and look again "
    "above {again_c}; if it is still on then, stop and open the filter.",
    "alarm.stop": "With the oil at {oil_c} a clean element would not light the lamp. Stop, let it cool and let off "
    "the pressure, then open the filter and look.",
    "alarm.always": "By these figures a clean element lights the lamp however warm the oil is: look at the figures. Stop, "
    "let it cool and let off the pressure, then open the filter and look.",
    "alarm.off": "A lamp that is off proves nothing: the bypass may stand open, or the element may be missing.",
}
