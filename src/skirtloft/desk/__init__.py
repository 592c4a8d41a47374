"""The drawing desk: a page on this machine on which a builder changes a number and sees the skirt.

How it works, on one screen::

    design file --> Document          the text with its comments, undo and redo, the journal, the file on disk
    page: set   --> Document.put      one edit; edits to one key within 0.8 s are one step of undo
    Document    --> Bench             one thread: the shape, then the section or the whole skirt that somebody looks at,
                                      then what is said of it, the other drawings, and after a rest the pieces
    Bench       --> Room              newest answer and drawings, sent to every page that is open
    page: look  --> Room              which drawings this page wants ("section-P05", "plan", "solid")
    page: job   --> Job               pack, layout, exact patterns or inflating, in a process of its own

Four rules keep it honest:

- the server holds the design; a page shows what it was sent and sends what was typed, nothing else;
- every answer carries the revision of the text it was made from, and a page takes answer and revision together;
- the newest wins: while a solve runs, only the last of the edits behind it is solved next, and a slow page is sent
  only the newest of each thing;
- drawings are the Sheets of the paper, written by the SVG writer of the paper.

| module | does |
|---|---|
| `document` | text, history, journal, save, what another editor did to the file |
| `edits` | one change to a TOML document, comments kept |
| `fields` | the design file as rows of fields in groups |
| `steps` | what an arrow key makes of a quantity |
| `concerns` | which keys a finding is about |
| `drawings` | a name -> a Sheet and what a page needs beside it; a new view starts here |
| `surface` | the skirt in three dimensions as one block of numbers |
| `answer` | a solved skirt, or a refusal, as plain data |
| `compare` | what changed against the kept variant |
| `bench` | the thread that solves and draws |
| `room` | the document, the bench and the backroom behind it, the pages before it |
| `visitor` | one page: what it looks at, what is still to be sent to it |
| `wishes` | what a page asks of the document: a value, a step, a drag, undo, save |
| `messages` | what pages may say, checked |
| `guard` | who may connect: own machine, right origin, token from the network |
| `board`, `jobs` | long work beside the page, one piece at a time, each in a process of its own |
| `long_work`, `pack_job` | what those processes do: layout, exact patterns, inflating; the pack |
| `take` | files to take away |
| `server` | the routes |
| `open_desk` | what `skirtloft open` does |

The page itself is in `desk-page/`; its built files are in `static/` and go into the wheel.
"""
