"""Reads calendar files with two libraries (icalendar, vobject) that have to find no fault and to read the same, and prints
the events of each file as JSON: UID, SEQUENCE, STATUS, first day, day after the last, SUMMARY.

    check_calendar.py FILE ...
"""

import json
import pathlib
import signal
import sys

from check_mail import LIMIT_S, events


def main():
    signal.alarm(LIMIT_S)
    # Line ends are part of the format, and reading text would change them.
    print(json.dumps([events(pathlib.Path(name).read_bytes().decode()) for name in sys.argv[1:]]))


if __name__ == "__main__":
    main()
