"""The page: the same job in a browser of this machine, for who opens no terminal.

A view asks what a command asks, of the same functions, and keeps what it makes where the command
line keeps it: garments and fabrics on the user's shelf, plans in a folder, the stash in its file.
The rooms:

surroundings, names, asking, rendering, failures, settings, taken_away, bolts
    What every view needs: where things are kept, names that become paths, what a request says,
    answers as pages or JSON, errors in words, units and look, what was taken off a shelf, and
    bolts to choose from.
guard/
    Who may ask at all (see `guard/safety.py`).
work/
    What takes long: each task in a process of its own, its progress as server-sent events.
garments/, cloth/, planning/, moving/, comparing/, cutting/
    One room a subject, each with `ROUTES`; their templates and scripts bear its name.
front/
    The application, the server and the first view.

A view is a plain function of a request (run in a thread, for the functions behind it block). A GET
changes nothing. A change is a POST of JSON, sent by `static/page.js`; it answers with JSON, or
raises one of our errors, which `failures.py` puts into words. Templates hold neither scripts nor
styles, which the content security policy would refuse.
"""
