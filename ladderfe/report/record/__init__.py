"""The record of a check: one HTML file that holds everything, for the phone, the desk and paper."""

from ladderfe.report.record.document import Said, record_html
from ladderfe.report.record.inputs import InputFile, inputs_of, read_inputs

__all__ = ["Said", "InputFile", "inputs_of", "read_inputs", "record_html"]
