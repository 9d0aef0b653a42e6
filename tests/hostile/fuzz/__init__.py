"""A coverage-guided fuzzer over everything that reads a file from anywhere.

``PYTHONPATH=tests python -m hostile.fuzz TARGET --seconds 60``, from the project's folder.
"""
