"""An invented firm in an invented township, with three houses at three points of the job.

Everything is made through the same actions a person's page uses, so a demo house can be in no state that a real one
could not be in. People, places and numbers are made up.
"""
