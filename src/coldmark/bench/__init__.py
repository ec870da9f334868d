"""What can be worked out at one machine, with the standard library alone.

The same modules run on the phone, on the server, from the command line and behind every paper, so
nothing here imports more than Python itself offers. Each module is imported by name::

    from coldmark.bench import oil, level
"""
