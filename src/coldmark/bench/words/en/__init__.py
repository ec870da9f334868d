"""English: every sentence by its message id, one file a topic."""

from coldmark.bench.words.en import (
    app,
    card,
    catalogue,
    cleanliness,
    clocks,
    commands,
    element,
    filter,
    joint,
    kit,
    level,
    litres,
    oil,
    pages,
    papers,
    pictures,
    records,
    refusing,
    seal,
    sheet,
    story,
    sums,
    wear,
    workings,
)

__all__ = ["MESSAGES", "TOPICS"]

TOPICS = (
    app.MESSAGES,
    card.MESSAGES,
    catalogue.MESSAGES,
    cleanliness.MESSAGES,
    clocks.MESSAGES,
    commands.MESSAGES,
    element.MESSAGES,
    filter.MESSAGES,
    joint.MESSAGES,
    kit.MESSAGES,
    level.MESSAGES,
    litres.MESSAGES,
    oil.MESSAGES,
    pages.MESSAGES,
    papers.MESSAGES,
    pictures.MESSAGES,
    records.MESSAGES,
    refusing.MESSAGES,
    seal.MESSAGES,
    sheet.MESSAGES,
    story.MESSAGES,
    sums.MESSAGES,
    wear.MESSAGES,
    workings.MESSAGES,
)

MESSAGES: dict[str, str] = {message: text for topic in TOPICS for message, text in topic.items()}
