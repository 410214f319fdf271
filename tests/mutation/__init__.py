"""Small faults put into the program's own code, one at a time: do the tests notice? Run by hand; it is no test.

    pip install pytest-cov
    python -m pytest -n 2 --cov=gcodegen --cov-branch --cov-context=test --junitxml=FOLDER/times.xml --cov-report= tests
    python -m tests.mutation .coverage FOLDER/times.xml design handbook --share 0.1 --seed 1 -o FOLDER/found.txt

The first command notes which test reaches which line, and how long each takes. The second changes one place at a
time, runs the tests that reach it, quickest first, and lists the changes that none of them noticed.
"""
