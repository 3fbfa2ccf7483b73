#!/usr/bin/python3
"""Read iCalendar files as independent programs do, for tests.

Reads a JSON list of calendar texts on standard input, prints a JSON list of lists: for
each event its UID and the instants of its start and end in UTC (RFC 3339, null for a
day), by icalendar and by dateutil. Neither looks a zone up by its name: icalendar makes a
zone of each VTIMEZONE (Timezone.to_tz), dateutil reads the same VTIMEZONE by itself
(tz.tzical). A property that begins with X- is an error.
"""
import datetime
import io
import json
import sys

import icalendar
from dateutil import tz


def instant(value, zone):
    if not isinstance(value, datetime.datetime):
        return None
    bare = value.replace(tzinfo=None)
    if zone is None:
        at = value.astimezone(datetime.timezone.utc)
    elif hasattr(zone, "localize"):
        at = zone.localize(bare).astimezone(datetime.timezone.utc)
    else:
        at = bare.replace(tzinfo=zone).astimezone(datetime.timezone.utc)
    return at.strftime("%Y-%m-%dT%H:%M:%SZ")


def read(text):
    calendar = icalendar.Calendar.from_ical(text)
    zones, others = {}, {}
    for part in calendar.walk():
        for name in part:
            if name.upper().startswith("X-"):
                raise SystemExit("a property of nobody's standard: " + name)
        if part.name == "VTIMEZONE":
            zones[str(part["TZID"])] = part.to_tz()
            others[str(part["TZID"])] = tz.tzical(io.StringIO(text)).get(str(part["TZID"]))
    out = []
    for event in calendar.walk("VEVENT"):
        row = {"uid": str(event["UID"])}
        for key in ("DTSTART", "DTEND"):
            value = event[key]
            named = value.params.get("TZID")
            if named and str(named) not in zones:
                raise SystemExit("a zone that the file does not describe: " + str(named))
            z = str(named) if named else None
            row[key] = [instant(value.dt, zones.get(z)), instant(value.dt, others.get(z))]
        out.append(row)
    return out


json.dump([read(c) for c in json.load(sys.stdin)], sys.stdout)
