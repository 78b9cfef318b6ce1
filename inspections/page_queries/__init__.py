"""What each page shows, read with a fixed number of queries and put into words. One file per page.

Nothing here decides: gates, standings and permissions are asked, and what they answer is laid out.
"""
