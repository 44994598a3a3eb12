"""The page of ``deskmodel watch``, served to browsers of this machine and to nobody else."""

from deskmodel.serve.live import LivePage, Sight
from deskmodel.serve.server import PageServer

__all__ = ["LivePage", "PageServer", "Sight"]
