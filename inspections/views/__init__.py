"""Pages of the job: who asks, what is read for them, what is written by an action. One file per page."""
