"""The English catalogue: one file a wing, a sentence a code.

The first part of a code names its file. `TEXTS` maps the rest to one sentence, or to two where
advice follows: what happened, what to do. `{name}` stands for a parameter, written as its type
asks; after a colon stands how:

* `{text}`: a person's words, clipped to forty characters
* `{text:whole}`: all of them
* `{names:and}`, `{names:or}`: a list
* `{why:clause}`: another message without its full stop
* `{number:.1f}`: as Python's format, with the reader's decimal sign

Another language is a folder beside this one with the same files.
"""
