import { bar, dashes, direction, factorOf, FORTH, silentBars, type WorkedRow } from "./marks.js";
import { BACK } from "./times.js";

const { log, LN2 } = Math;
/** Documented factors of changes without a goal. */
const rit = factorOf("rit.");
const molto = factorOf("molto rit.");
const poco = factorOf("poco rit.");
const accel = factorOf("accel.");
const little = factorOf("poco a poco accel.");

// q quarters from b1 to b2 quarters a minute: the integral of 60 / b(x), 60 q ln(b2/b1) / (b2 - b1).
// From b to f b that is (60 q / b) ln f / (f - 1).
export const RAMPS: readonly WorkedRow[] = [
  // From 60 to 120 in 4 quarters: 60 x 4 x ln 2 / 60 = 4 ln 2; then 4 x 60/120
  [
    "accelerando to 120",
    [bar("4/4", direction("q=60", "accel."), 4), bar("4/4", "q=120", 4)],
    4 * LN2 + 2,
  ],
  // From 120 to 60 in 4 quarters: 60 x 4 x ln(1/2) / -60 = 4 ln 2; then 4 x 60/60
  [
    "ritardando to 60",
    [bar("4/4", direction("q=120", "rit."), 4), bar("4/4", "q=60", 4)],
    4 * LN2 + 4,
  ],
  // Dotted quarter 60 to 40 is quarter 90 to 60: 60 x 3 x ln(2/3) / -30 = 6 ln 1.5; then 2 x 60/40
  [
    "rallentando in dotted quarters",
    [bar("6/8", direction("q.=60", "rall."), 3), bar("6/8", "q.=40", 3)],
    6 * log(1.5) + 3,
  ],
  // Middles of the ranges, 60 and 120: as the first
  [
    "from range to range",
    [bar("4/4", direction("q=56-64", "stringendo"), 4), bar("4/4", "q=112-128", 4)],
    4 * LN2 + 2,
  ],
  // 2 + 3 + 3 = 8 quarters from 60 to 120: 8 ln 2; then 4 x 60/120
  [
    "over several bars and meters",
    [
      bar("2/4", direction("q=60", "accel."), 2),
      bar("3/4", 3),
      bar("6/8", 3),
      bar("4/4", "q=120", 4),
    ],
    8 * LN2 + 2,
  ],
  // 2 at 60; 2 + 2 quarters from 60 to 120: 4 ln 2; 2 at 120
  [
    "from mid-bar to mid-bar",
    [bar("4/4", "q=60", 2, "accel.", 2), bar("4/4", 2, "q=120", 2)],
    3 + 4 * LN2,
  ],
  // Up, 4 ln 2, and down from 120 to 80: 60 x 4 x ln(2/3) / -40 = 6 ln 1.5; then 4 x 60/80
  [
    "there and back",
    [
      bar("4/4", direction("q=60", "accel."), 4),
      bar("4/4", direction("q=120", "rit."), 4),
      bar("4/4", "q=80", 4),
    ],
    4 * LN2 + 6 * log(1.5) + 3,
  ],
  // 10 bars are 40 quarters from 60 to 120: 40 ln 2; then 4 x 60/120
  [
    "to a goal after ten bars",
    [bar("4/4", direction("q=60", "accel."), 4), ...silentBars(9), bar("4/4", "q=120", 4)],
    40 * LN2 + 2,
  ],
  // From 60 to its double, which is 120: 4 ln 2; then 4 x 60/120
  [
    "to doppio movimento",
    [bar("4/4", direction("q=60", "accel."), 4), bar("4/4", "Doppio movimento", 4)],
    4 * LN2 + 2,
  ],
  // The eighth = quarter makes 120 of 60, and the accel. leads there
  [
    "to an equation",
    [bar("4/4", direction("q=60", "accel."), 4), bar("4/4", "e=q", 4)],
    4 * LN2 + 2,
  ],
  // 4 + 2; from 120 down to Tempo I, 60: 4 ln 2; then 4
  [
    "to Tempo I",
    [
      bar("4/4", "q=60", 4),
      bar("4/4", "q=120", 4),
      bar("4/4", "rit.", 4),
      bar("4/4", "Tempo I", 4),
    ],
    10 + 4 * LN2,
  ],

  // 8 quarters from 60 to 120 pass 90 after 4. Bar 1: 60 x 4 x ln(90/60) / 30 = 8 ln 1.5, twice;
  // bar 2: 60 x 4 x ln(120/90) / 30 = 8 ln(4/3); then 4 x 60/120
  [
    "a repeat of its first half",
    [bar("4/4", direction("q=60", "accel."), 4, BACK), bar("4/4", 4), bar("4/4", "q=120", 4)],
    16 * log(1.5) + 8 * log(4 / 3) + 2,
  ],
  // As before, the second half twice
  [
    "a repeat of its second half",
    [
      bar("4/4", direction("q=60", "accel."), 4),
      FORTH + bar("4/4", 4, BACK),
      bar("4/4", "q=120", 4),
    ],
    8 * log(1.5) + 16 * log(4 / 3) + 2,
  ],
  // Twice 4 x 60/60 and 4 ln 2; then 4 x 60/120
  [
    "a repeat of the whole",
    [bar("4/4", "q=60", 4), bar("4/4", "accel.", 4, BACK), bar("4/4", "q=120", 4)],
    10 + 8 * LN2,
  ],
  // 4 x 60/60, from 60 to 60 f: 4 ln f / (f - 1); then back to the first bar: 4
  [
    "da capo after a ritardando",
    [bar("4/4", "q=60", 4, `<sound fine="yes"/>`), bar("4/4", "rit.", 4, `<sound dacapo="yes"/>`)],
    8 + (4 * log(rit)) / (rit - 1),
  ],

  // 4 x 60/120; from 120 to 120 f: (60 x 4 / 120) ln f / (f - 1)
  [
    "ritardando to the end",
    [bar("4/4", "q=120", 4), bar("4/4", "rit.", 4)],
    2 + (2 * log(rit)) / (rit - 1),
  ],
  // The same, and 4 x 60/120 after it
  [
    "ritardando, a tempo",
    [bar("4/4", "q=120", 4), bar("4/4", "rit.", 4), bar("4/4", "a tempo", 4)],
    4 + (2 * log(rit)) / (rit - 1),
  ],
  // Both in one direction: the change fills its bar, and the next one is in tempo again
  [
    "ritardando and a tempo in one",
    [bar("4/4", "q=120", 4), bar("4/4", "poco rit. - a tempo", 4), bar("4/4", 4)],
    4 + (2 * log(poco)) / (poco - 1),
  ],
  // The stronger factor
  [
    "molto ritardando, a tempo",
    [bar("4/4", "q=120", 4), bar("4/4", "molto rit.", 4), bar("4/4", "a tempo", 4)],
    4 + (2 * log(molto)) / (molto - 1),
  ],
  // 2 x 60/120; 2 quarters from 120 to 120 f: 1 x ln f / (f - 1); 4 x 60/120
  [
    "poco ritardando in half a bar, a tempo",
    [bar("4/4", "q=120", 2, "poco rit.", 2), bar("4/4", "a tempo", 4)],
    3 + log(poco) / (poco - 1),
  ],
  // From 60 to 60 f: 4 ln f / (f - 1); then 4 x 60/60
  [
    "accelerando, a tempo",
    [bar("4/4", direction("q=60", "accel."), 4), bar("4/4", "a tempo", 4)],
    4 + (4 * log(accel)) / (accel - 1),
  ],
  // 144 lies the wrong way, so to 120 f: 2 ln f / (f - 1); then 4 x 60/144
  [
    "ritardando before something quicker",
    [bar("4/4", direction("q=120", "rit."), 4), bar("4/4", "q=144", 4)],
    (2 * log(rit)) / (rit - 1) + 240 / 144,
  ],
  // From 120 to 120 r, and from there to 120 r m: (2 / r) ln m / (m - 1); then 4 x 60/120
  [
    "one ritardando after another",
    [
      bar("4/4", direction("q=120", "rit."), 4),
      bar("4/4", "molto rit.", 4),
      bar("4/4", "a tempo", 4),
    ],
    (2 * log(rit)) / (rit - 1) + (2 / rit) * (log(molto) / (molto - 1)) + 2,
  ],
  // The dashes end with bar 1, at 60 f. After that either tempo may hold, likely the middle of
  // 60 and 60 f: 8 x 60 / (30 (1 + f))
  [
    "ritardando with dashes",
    [
      bar("4/4", direction("q=60", "rit.", dashes("start")), 4),
      bar("4/4", direction(dashes("stop")), 4),
      bar("4/4", 4),
    ],
    (4 * log(rit)) / (rit - 1) + 16 / (1 + rit),
  ],
  // The same; then 4 x 60/60
  [
    "ritardando with dashes, two bars on a tempo",
    [
      bar("4/4", direction("q=60", "rit.", dashes("start")), 4),
      bar("4/4", direction(dashes("stop")), 4),
      bar("4/4", 4),
      bar("4/4", "a tempo", 4),
    ],
    (4 * log(rit)) / (rit - 1) + 16 / (1 + rit) + 4,
  ],
  // Where a mark follows at once the change leads up to it: 4 ln f / (f - 1), then 4 x 60/60
  [
    "dashes that end shortly before a tempo",
    [
      bar("4/4", direction("q=60", "rit.", dashes("start")), 3, direction(dashes("stop")), 1),
      bar("4/4", "a tempo", 4),
    ],
    (4 * log(rit)) / (rit - 1) + 4,
  ],
  // As without dashes: 4 ln 2, then 4 x 60/60
  [
    "dashes up to the goal",
    [
      bar("4/4", direction("q=120", "rit.", dashes("start")), 4),
      bar("4/4", direction("q=60", dashes("stop")), 4),
    ],
    4 * LN2 + 4,
  ],
  // Over after 8 bars, 32 quarters: 16 ln f / (f - 1); two bars in the middle of 120 and 120 f
  [
    "ritardando of ten bars",
    [bar("4/4", direction("q=120", "rit."), 4), ...silentBars(9)],
    (16 * log(rit)) / (rit - 1) + 8 / (1 + rit),
  ],
  // The same; then 4 x 60/120
  [
    "ritardando of ten bars, a tempo",
    [bar("4/4", direction("q=120", "rit."), 4), ...silentBars(9), bar("4/4", "a tempo", 4)],
    (16 * log(rit)) / (rit - 1) + 8 / (1 + rit) + 2,
  ],
  // "Little by little" it lasts all 10 bars, 40 quarters: 40 ln f / (f - 1)
  [
    "poco a poco accelerando of ten bars",
    [bar("4/4", direction("q=60", "poco a poco accel."), 4), ...silentBars(9)],
    (40 * log(little)) / (little - 1),
  ],
  // 33 bars on is too far to be meant: 8 bars to 60 f, 32 ln f / (f - 1); 25 bars, 100 quarters, in the
  // middle, 6000 / (30 (1 + f)); then 4 x 60/120
  [
    "a goal 33 bars away",
    [bar("4/4", direction("q=60", "accel."), 4), ...silentBars(32), bar("4/4", "q=120", 4)],
    (32 * log(accel)) / (accel - 1) + 200 / (1 + accel) + 2,
  ],
  // 16 bars, 64 quarters, are not: 64 ln 2; then 4 x 60/120
  [
    "a goal 16 bars away",
    [bar("4/4", direction("q=60", "accel."), 4), ...silentBars(15), bar("4/4", "q=120", 4)],
    64 * LN2 + 2,
  ],
  // Little by little 32 bars, 128 quarters, are not: 128 ln 2; then 4 x 60/120
  [
    "a goal 32 bars away, little by little",
    [
      bar("4/4", direction("q=60", "poco a poco accel."), 4),
      ...silentBars(31),
      bar("4/4", "q=120", 4),
    ],
    128 * LN2 + 2,
  ],
];
