"""The Shot workspace: what do I play here?"""
