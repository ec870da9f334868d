"""What can be worked out at one machine, with the standard library alone.

The same modules serve pages, card, command line and every paper, and are to run on the phone itself, so
nothing here imports more than Python itself offers. Each module is imported by name::

    from coldmark.bench import oil, level
"""
