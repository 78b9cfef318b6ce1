"""The plumbing: settings, addresses, start-up, health and the commands that run the checks.

Nothing about concrete, houses or sign-offs belongs here. What a page shows lives in `jobs` or
`inspections`; what a number is lives in `takeoff`.
"""
