"""What is to be read and said of a car, as one form: the same for paper, spreadsheet, CSV, YAML and an HTML form."""

from carknocker.forms.layout import form_of
from carknocker.forms.model import Answer, Form

__all__ = ["Answer", "Form", "form_of"]
