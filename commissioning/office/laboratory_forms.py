"""What is typed of a sample and of a laboratory's report."""

from typing import Any

from django import forms

from commissioning.office.instrument_forms import MOST_WORDS, day_field, not_ahead
from commissioning.office.laboratory_services import MOST_BYTES, media_type_of


class SampleForm(forms.Form):
    """To which laboratory a sample went, and when."""

    laboratory = forms.CharField(label="Laboratory", max_length=120)
    sent_on = day_field("Handed over on")
    words = forms.CharField(
        label="What to look for", max_length=MOST_WORDS, required=False, widget=forms.Textarea(attrs={"rows": 2})
    )

    def clean_sent_on(self) -> Any:
        return not_ahead(self.cleaned_data["sent_on"])


class ReportForm(forms.Form):
    """A laboratory's report: its own number, its method, its file."""

    number = forms.CharField(label="Number of the report", help_text="As the laboratory printed it.", max_length=80)
    method = forms.CharField(label="Method", help_text="As printed.", max_length=200, required=False)
    received_on = day_field("Received on")
    file = forms.FileField(label="The report itself", help_text="PDF, JPEG or PNG, up to 20 MB.")

    def clean_received_on(self) -> Any:
        return not_ahead(self.cleaned_data["received_on"])

    def clean_file(self) -> bytes:
        """Return the bytes of a file of a known form."""
        file = self.cleaned_data["file"]
        if file.size > MOST_BYTES:
            raise forms.ValidationError("This file is larger than 20 MB.")
        data: bytes = file.read()
        if not media_type_of(data):
            raise forms.ValidationError("This is no PDF, JPEG or PNG.")
        return data
