"""The Side by side workspace: why does the lower club run more?"""
