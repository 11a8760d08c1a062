"""The same chances with numpy and scipy: reads columns of doubles (median and skin per zone stand
here once more), writes columns of doubles, prints the processor seconds of the bare formula and of
the whole answer, without reading and writing the files."""
import sys
import time

import numpy as np
from scipy.special import ndtr

zone, needle, angle, fold, woman, bmi, tips, medians = np.fromfile(sys.argv[1]).reshape(8, -1)
zone = zone.astype(int)

began = time.process_time()
bare = ndtr(np.log(tips / medians) / 0.39)
bare_took = time.process_time() - began

began = time.process_time()
ln = np.log
depth = np.array([[14.6, 13.7, 15.6], [10.9, 10.3, 11.6], [16.9, 15.9, 18.1], [11.8, 11.1, 12.6]])
skin = np.array([[2.2, 2.1, 2.2], [1.9, 1.8, 1.9], [2.4, 2.4, 2.5], [2.2, 2.2, 2.3]])
s, s_low, s_high = 0.39, 0.34, 0.465
sd, sd_low, sd_high = 0.5, 0.37, 0.61
f, f_low, f_high = 1.45, 1.26, 1.67
least, most = 0.005, 0.05
above, side = bmi - 29, np.where(woman == 1, 0.5, -0.5)
moved = 0.028 * above + 0.33 * side


def chances(zone, needle, angle, fold):
    tip = np.where(angle == 90, needle, needle * np.sin(np.radians(angle)))
    score = (ln(tip / depth[zone, 0]) - moved - ln(np.where(fold == 1, f, 1))) / s
    return tip, score, ndtr(score), ndtr((skin[zone, 0] - tip) / sd)


def band(score, ends):
    up = down = 0
    for end in ends:
        by = end - score
        up = up + np.where(by > 0, by, 0) ** 2
        down = down + np.where(by < 0, by, 0) ** 2
    return ndtr(score - np.sqrt(down)), ndtr(score + np.sqrt(up))


tip, score, muscle, in_skin = chances(zone, needle, angle, fold)
wider = np.hypot((0.0325 - 0.0225) / 2 * above, (0.41 - 0.29) / 2 * side)
ends = [score - np.copysign(np.hypot(ln(depth[zone, i] / depth[zone, 0]), wider),
                            ln(depth[zone, i] / depth[zone, 0])) / s for i in (1, 2)]
ends += [score * s / end for end in (s_low, s_high)]
ends += [np.where(fold == 1, score - ln(end / f) / s, score) for end in (f_low, f_high)]
muscle_low, muscle_high = band(score, ends)
skin_score = (skin[zone, 0] - tip) / sd
skin_low, skin_high = band(skin_score, [(skin[zone, 1] - tip) / sd, (skin[zone, 2] - tip) / sd,
                                        skin_score * sd / sd_low, skin_score * sd / sd_high])

by_skin = (in_skin > most) & (in_skin >= muscle)
fault = np.where(by_skin, in_skin, muscle)
other = np.where(by_skin, muscle, in_skin)
lowest = np.full(len(zone), np.inf)


def consider(may, to_zone, to_needle, to_angle, to_fold):
    _, _, m, k = chances(to_zone, to_needle, to_angle, to_fold)
    then, other_then = np.where(by_skin, k, m), np.where(by_skin, m, k)
    good = (may & (fault - then >= least) & (other_then <= np.maximum(most, other))
            & (muscle + in_skin - m - k >= least))
    np.minimum(lowest, np.where(good, then, np.inf), out=lowest)


for length in (4, 5, 6, 8, 10, 12.7):
    consider(np.where(by_skin, length > needle, length < needle), zone, length, angle, fold)
consider(~by_skin & (fold == 0), zone, needle, angle, np.ones_like(fold))
for turned in (45, 90):
    consider(np.where(by_skin, turned > angle, turned < angle), zone, needle, np.full_like(angle, turned), fold)
for there in range(4):
    consider((zone != there) & ((there != 3) | (fold == 0)), np.full_like(zone, there), needle, angle, fold)
whole_took = time.process_time() - began

print(bare_took, whole_took)
np.concatenate([bare, muscle, muscle_low, muscle_high, in_skin, skin_low, skin_high, lowest]).tofile(sys.argv[2])
