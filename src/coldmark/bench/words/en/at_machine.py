"""The card at the machine: what is said there, old and new side by side, the closing code on the sticker."""

MESSAGES: dict[str, str] = {
    # said, not typed
    "app.voice_start": "Say it",
    "app.voice_anew": "Say it anew",
    "app.voice_listening": "Speak now. {left} left.",
    "app.voice_stop": "Stop and keep it",
    "app.voice_kept": "Said: {length} min",
    "app.voice_hear": "Listen to it",
    "app.voice_quiet": "Stop listening",
    "app.voice_drop": "Drop what was said",
    "app.voice_hint": "At most two minutes. The firm hears it, the owner does not.",
    "app.voice_refused": (
        "The microphone is not allowed here. Type it, or allow the microphone for this page in the browser's settings."
    ),
    "app.voice_missing": "There is no microphone that this page can use. Type it.",
    "app.voice_cannot": "This browser cannot record what is said. Type it.",
    "app.voice_nothing": "Nothing was recorded. Say it again, or type it.",
    "app.voice_silent": "It cannot be played on this phone. It is kept all the same.",
    # old and new side by side
    "app.beside": "Old and new side by side",
    "app.beside_says": "Hold them together before the new one goes in. Whatever differs is a question.",
    "app.beside_old": "The old one",
    "app.beside_new": "The new one",
    "app.beside_look": "Look at these",
    "app.beside_ends": "both ends: open or closed, and how wide",
    "app.beside_seal": "its seal: where it sits, and whether it is there",
    "app.beside_spigot": "the spigot or thread that it goes onto",
    "app.from_sheet": "data sheet",
    "app.differs": "Something differs",
    "app.differs_ask": "What differs?",
    "app.differs_number": "Number on the new one",
    "app.differs_number_wrong": "The number = {value} is not right; 1 to 40 characters, as printed on it.",
    "app.differs_out": "It is the wrong one: it stays out",
    "app.differs_in": "It is right all the same: it goes in",
    "app.differs_told": "{part}: {what}",
    "app.differs_kept": "Recorded. The right one goes in later, or the old one with a reason.",
    "app.differs_before": "Kept out before: {what}",
    # oil that went in last
    "app.add_moved": "After this oil went in, every function was moved",
    "app.add_moved_hint": "Else it stays in the tank for now, and a drain takes it along.",
    # closed
    "app.closing_code": "Closing code",
    "app.closing_write": "Write it on the sticker.",
    "app.closing_stands": "It stands for {n} entries, as they are now. Anybody can check it on the server, without an account.",
    "app.closing_square": "The whole of it, as a square code",
    "app.closing_sticker": "Photo of the sticker",
    "app.closing_sticker_says": "It comes after the closing, and shows so.",
    "app.finish_refused": "The server did not take {n}.",
}
