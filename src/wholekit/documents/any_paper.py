"""Every paper there is, the owner's with them."""

from wholekit.documents.drilling_sheet import DrillingPaper
from wholekit.documents.internal_sheet import InternalSheet
from wholekit.documents.papers import Paper
from wholekit.documents.submittal import SubmittalPaper

AnyPaper = Paper | DrillingPaper | SubmittalPaper | InternalSheet
