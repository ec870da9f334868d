"""When something is due, and how days are told."""

MESSAGES: dict[str, str] = {
    # clocks
    "clocks.cannot.shares": "its shares must rise from row to row",
    "clocks.cannot.more_hours": "more breaker work cannot mean more hours",
    "clocks.no_interval": "{task} has no interval in hours.",
    "clocks.too_few_reads": "Hours a day need two meter reads at least a week apart; there are {reads} reads.",
    "clocks.no_reads": "The hours on that day are not known: no meter read or hand-over stands before it.",
    "due.never_recorded": "No record says when this was last done, so its hours cannot be counted.",
    "due.hours_not_known": "The meter was not known when this was last done, so its hours cannot be counted.",
    "due.no_day_to_count_from": "The months cannot be counted: no record says when this was last done.",
    "due.no_usage": "No window of days: two meter reads at least a week apart are needed.",
    "due.meter_dead": "The hour meter is dead since {since}; the hours are carried on from before.",
    "due.counted_by_the_meter": "No record says when this was last done; it is counted by the meter alone.",
    "due.last_done_estimated": "No meter was read when this was last done; its hours may be off by {spread_h}.",
    "due.breaker_not_told": "A breaker is fitted and its hours were not told: ask; the interval may be shorter.",
    "due.breaker_more_than_run": "More breaker hours were told than the machine ran: ask again; all its hours are taken "
    "to be breaker work.",
    "due.breaker_share_assumed": "Breaker hours were not told since; the share before, {share_share}, is taken to go on.",
    "working.clocks.interval": "Interval with this share of breaker hours",
    "working.clocks.due_h": "Due by the hours",
    "working.clocks.due_breaker_h": "Due by the hours with breaker work",
    "working.clocks.due_day": "Due by the calendar",
    "working.clocks.usage": "Hours a day so far",
    "working.clocks.window": "Likely day",
    "working.clocks.passed": "Day on which the hours were reached",
    "working.clocks.hours_read": "Hours by the meter",
    "working.clocks.hours_between": "Hours between two reads",
    "working.clocks.hours_carried_on": "Hours carried on from the last read",
    # days
    "month.1": "January",
    "month.2": "February",
    "month.3": "March",
    "month.4": "April",
    "month.5": "May",
    "month.6": "June",
    "month.7": "July",
    "month.8": "August",
    "month.9": "September",
    "month.10": "October",
    "month.11": "November",
    "month.12": "December",
    "weekday.1": "Monday",
    "weekday.2": "Tuesday",
    "weekday.3": "Wednesday",
    "weekday.4": "Thursday",
    "weekday.5": "Friday",
    "weekday.6": "Saturday",
    "weekday.7": "Sunday",
    # when something is due
    "due.hours_and_days": "{task}: at {due}, about {days}.",
    "due.hours": "{task}: at {due}.",
    "due.days": "{task}: about {days}.",
    "due.unknown": "{task}: not known yet.",
    "due.no_days": "not known",
    "due.when.hours_and_days": "at {due}, about {days}",
    "due.when.hours": "at {due}",
    "due.when.days": "about {days}",
    # how the sum is explained
    "catalogue.next_due.what": "The hours, and the day, at which a task falls due next.",
    "catalogue.next_due.when": "After a service was done early or late, or after months of breaker work.",
    "catalogue.next_due.assumes": (
        "Late inside the tolerance keeps the grid; early or later than that starts it anew. An hour of breaker work wears "
        "like so many hours."
    ),
    "catalogue.next_due.limits": (
        "Hours and months, whichever comes first. Under warranty there is no tolerance unless the manual grants one."
    ),
}
