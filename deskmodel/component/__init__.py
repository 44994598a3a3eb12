"""Bought-in equipment, read from a TOML data sheet."""

from deskmodel.component._named import sheet_file
from deskmodel.component._part import Component, KeepOut, Port
from deskmodel.component._sheet import read_sheet

__all__ = ["Component", "KeepOut", "Port", "read_sheet", "sheet_file"]
