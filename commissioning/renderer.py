"""How every form is drawn: label, hint, error, one line to write on."""

from django.forms.renderers import TemplatesSetting


class FormRenderer(TemplatesSetting):
    form_template_name = "forms/_form.html"
    field_template_name = "forms/_field.html"
