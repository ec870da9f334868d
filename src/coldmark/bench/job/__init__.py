"""A job on one machine, from plain values: its card, and what the card asks while it is open.

The server answers with it, and so does the phone where there is no network: one and the same Python.
"""

from coldmark.bench.job.acts import ACTS, JobDesk
from coldmark.bench.job.answers import card_answer, fact_to_plain, finish_answer, level_answer, meter_answer
from coldmark.bench.job.asks import LEVEL, METER, Ask, told_as
from coldmark.bench.job.balance import BalanceOfJob, balance_of_job, levels_of_job, pours_of_job
from coldmark.bench.job.due import DueLine, Stands, due_days, due_hours, due_lines, due_says, due_when
from coldmark.bench.job.glance import LevelGlance, OilGlance, ask_of, level_glance, machine_answer, oil_glances
from coldmark.bench.job.held import Held, JobHeld, held_from_plain
from coldmark.bench.job.learning import pours_of, taught
from coldmark.bench.job.material import Material, build_card
from coldmark.bench.job.meter import MeterAnswer, doubted
from coldmark.bench.job.names import name_of
from coldmark.bench.job.oils import oil_inside, oils_offered
from coldmark.bench.job.refused import places_asked, places_of, refusals, refused_says
from coldmark.bench.job.standing import LevelAnswer, LevelAsk, drawn, level_of
from coldmark.bench.job.timing import TimingGlance, timing_glances, timings_asked, timings_offered

__all__ = [
    "ACTS",
    "LEVEL",
    "METER",
    "Ask",
    "BalanceOfJob",
    "DueLine",
    "Held",
    "JobDesk",
    "JobHeld",
    "LevelAnswer",
    "LevelAsk",
    "LevelGlance",
    "Material",
    "MeterAnswer",
    "OilGlance",
    "Stands",
    "TimingGlance",
    "ask_of",
    "balance_of_job",
    "build_card",
    "card_answer",
    "doubted",
    "drawn",
    "due_days",
    "due_hours",
    "due_lines",
    "due_says",
    "due_when",
    "fact_to_plain",
    "finish_answer",
    "held_from_plain",
    "level_answer",
    "level_glance",
    "level_of",
    "levels_of_job",
    "machine_answer",
    "meter_answer",
    "name_of",
    "oil_glances",
    "oil_inside",
    "oils_offered",
    "places_asked",
    "places_of",
    "pours_of",
    "pours_of_job",
    "refusals",
    "refused_says",
    "taught",
    "timing_glances",
    "timings_asked",
    "timings_offered",
    "told_as",
]
