"""Plyline: from a narrated chess lesson to film, captions and chapters.

``timeline`` knows the lesson in time; ``overlays`` draws it. Both are plain
libraries; the ``plyline`` command is a thin shell over them.
"""

__version__ = "0.1.0"
