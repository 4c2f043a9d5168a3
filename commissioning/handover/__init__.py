"""Handover: the sheet, from draft to frozen record, paper and the public page that vouches for it."""
