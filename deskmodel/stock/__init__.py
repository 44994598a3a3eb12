"""What can be bought and what lies in the shop: timber, sheets, veneer, hardware by the pack, prices."""

from deskmodel.stock._goods import Filament, Glue, Pack, Priced, Service, Sheet, Stock, StockSection, Timber
from deskmodel.stock._read import ANY, DEFAULT, NAME, default_stock, read_stock, stock_beside

__all__ = ["ANY", "DEFAULT", "NAME", "Filament", "Glue", "Pack", "Priced", "Service", "Sheet", "Stock", "StockSection",
           "Timber", "default_stock", "read_stock", "stock_beside"]
