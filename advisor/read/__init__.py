"""From text to facts: what somebody's words say of the job, what they leave open, and what they must be asked.

Everything here is pure and takes a rule base with its words; it never raises on any text and concludes nothing.
"""
