"""The design check: does the as-built record meet the duty and the rules of safety, before anything is switched on."""
