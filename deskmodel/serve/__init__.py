"""The page of ``deskmodel watch``, served to browsers of this machine and to nobody else. What makes it of a round, and
needs the session for that, lies in ``live``."""

from deskmodel.serve.server import PageServer

__all__ = ["PageServer"]
