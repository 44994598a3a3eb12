"""``report.html``: verdict, findings with pictures, bays, figures, cautions; one file that prints on A4. Written with
findings that stop the build, too, and then says so."""

from __future__ import annotations

from pathlib import Path

from deskmodel.errors import BuildFault
from deskmodel.exporters._job import ExportJob, Written
from deskmodel.report import ReportFacts, read_report, report_page
from deskmodel.report._markup import shown

__all__ = ["export_report", "report_facts"]

NAME = "report.html"


def export_report(job: ExportJob) -> Written:
    facts = report_facts(job)
    data = report_page(facts)

    def read_back(folder: Path) -> None:
        _compare(facts, (folder / NAME).read_bytes())

    return Written({NAME: data}, read_back)


def report_facts(job: ExportJob) -> ReportFacts:
    return ReportFacts(job.model, job.revision, job.outcomes, job.pairs, job.bays, job.unreleased, job.withheld, job.lines,
                       job.mass, job.fit, job.summaries)


def _compare(facts: ReportFacts, data: bytes) -> None:
    """BuildFault unless every finding, check, bay and parameter is there, with what it says."""
    there = read_report(data)
    wanted = {
        "findings": {str(each.number): each.finding.message for each in facts.numbered},
        "checks": {each.id: each.id for each in facts.outcomes},
        "bays": {str(number): row.bay.name for number, row in enumerate(facts.bays)},
        "parameters": {shown(name): str(value) for name, value in facts.model.parameters}}
    for what, said in wanted.items():
        found: dict[str, str] = getattr(there, what)
        if set(found) != set(said):
            raise BuildFault(f"{NAME} read back tells other {what} than were found")
        for name, text in said.items():
            if _drawn(text) not in found[name]:
                raise BuildFault(f"{NAME} read back says something else of {what} {name}")
    for name, count in (("revision", facts.revision), ("desk", facts.model.name), ("state", facts.unreleased or "")):
        if _drawn(count) not in there.text:
            raise BuildFault(f"{NAME} read back does not tell the {name}")
    if "script" in there.tags:
        raise BuildFault(f"{NAME} read back holds a script")


def _drawn(text: str) -> str:
    """As it stands in the file, see ``report``."""
    return shown(text).encode("utf-8", "backslashreplace").decode("utf-8")
