"""The same place plan in numpy: reads spots, blocked areas and what was used, prints the processor seconds of the planning alone
(best of three), then one place a line."""
import sys
import time

import numpy as np

RECENT, FORTNIGHT = 28, 14
asked = {"slot": [], "zone": [], "blocked": [], "used": []}
spots, zone_of = [], []
for line in open(sys.argv[1]):
    word, *numbers = line.split()
    numbers = [int(n) for n in numbers]
    if word == "spot":
        spots.append(numbers)
        zone_of.append(len(asked["zone"]) - 1)
    elif word in asked:
        asked[word].append(numbers)
    else:
        asked[word] = numbers[0]
spots, zone_of = np.array(spots), np.array(zone_of)
zones = np.array(asked["zone"])
plane_of = zones[zone_of, 1]
slots = [number for number, in asked["slot"]]


def plan():
    rest, spacing = asked["rest"], asked["spacing"]
    opened = np.ones(len(spots), dtype=bool)
    for plane, x, y, radius in asked["blocked"]:
        opened &= (plane_of != plane) | (((spots - (x, y)) ** 2).sum(axis=1) > radius * radius)
    open_in = np.bincount(zone_of[opened], minlength=len(zones))
    free = np.full(len(spots), -1_000_000)
    used_in = np.zeros(len(zones), dtype=np.int64)
    recent = []  # day, plane, x, y
    for day, zone, plane, x, y in asked["used"]:
        near = (plane_of == plane) & (((spots - (x, y)) ** 2).sum(axis=1) < spacing * spacing)
        free[near] = np.maximum(free[near], day + rest)
        recent.append((day, plane, x, y))
        if day > -rest:
            used_in[zones[:, 0] == zone] += 1
    out = []
    for day in range(asked["days"]):
        recent = [use for use in recent if day - use[0] < min(rest, RECENT)]
        for part in slots:
            turns = sorted(np.flatnonzero(zones[:, 2] == part), key=lambda z: (2 * used_in[z] + 1) / open_in[z])
            for zone in turns:
                there = np.flatnonzero(opened & (zone_of == zone) & (free <= day))
                if len(there):
                    break
            uses = np.array([use for use in recent if use[1] == zones[zone, 1]]).reshape(-1, 4)
            if len(uses):
                apart = ((spots[there][:, None, :] - uses[None, :, 2:]) ** 2).sum(axis=2)
                best = there[(apart * (FORTNIGHT + day - uses[:, 0]) ** 2).min(axis=1).argmax()]
            else:
                best = there[0]
            free[best] = day + rest
            used_in[zone] += 1
            recent.append((day, zones[zone, 1], *spots[best]))
            out.append((zones[zone, 0], *spots[best]))
    return out


took = []
for _ in range(3):
    began = time.process_time()
    places = plan()
    took.append(time.process_time() - began)
print(min(took))
for place in places:
    print(*place)
