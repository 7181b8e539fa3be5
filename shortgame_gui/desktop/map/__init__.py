"""The Map workspace: when the answer changes over two conditions."""
