"""The report of a desk: one page to print and hand over. Facts come in as data, files hold its words and its looks.

``page.html``, ``finding.html`` and ``page.css`` are what is seen; ``files.toml`` says who gets which file. Nothing a person
named reaches the page but through ``markup``, which escapes it.
"""

from __future__ import annotations

from deskmodel.report._facts import ReportFacts
from deskmodel.report._page import report_page
from deskmodel.report._read import PageContent, read_report

__all__ = ["PageContent", "ReportFacts", "read_report", "report_page"]
