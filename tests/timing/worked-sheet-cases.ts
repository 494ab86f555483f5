import { bar, direction, factorOf, sheetLine, type WorkedRow } from "./marks.js";
import { BACK } from "./times.js";

const rit = factorOf("rit.");

// Lines of the player's own sheet: place, quarters a minute, time through.
export const SHEETS: readonly WorkedRow[] = [
  // 4 x 60/80
  ["nothing on the page", [bar("4/4", 4)], 3, { tempoSheet: [sheetLine("1", 80)] }],
  // 4 x 60/60, not 4 x 60/120
  ["against a printed number", [bar("4/4", "q=120", 4)], 4, { tempoSheet: [sheetLine("1", 60)] }],
  // Page 4 x 60/120; from the third beat of bar 2: 2 x 60/120 + 2 x 60/60
  [
    "from the third beat",
    [bar("4/4", "q=120", 4), bar("4/4", 4)],
    5,
    { tempoSheet: [sheetLine("2:3", 60)] },
  ],
  // Beats of 6/8 are dotted quarters: 1.5 x 60/120 before the second one, 1.5 x 60/60 from there
  [
    "from the second beat of 6/8",
    [bar("6/8", "q=120", 3)],
    2.25,
    { tempoSheet: [sheetLine("1:2", 60)] },
  ],
  // Beat 2.5 of 2/2 is three quarters into the bar: 3 x 60/120 + 1 x 60/60
  [
    "from half a beat of 2/2",
    [bar("2/2", "h=60", 4)],
    2.5,
    { tempoSheet: [sheetLine("1:2.5", 60)] },
  ],
  // A pick-up quarter of 4/4 is beat 4: 1 x 60/60 + 4 x 60/60
  [
    "from the pick-up",
    [bar("4/4", "q=120", 1), bar("4/4", 4)],
    5,
    { tempoSheet: [sheetLine("1:4", 60)] },
  ],
  // A dotted half = 40 is quarter = 120: two bars of 1.5 s
  [
    "in dotted halves",
    [bar("3/4", "q=60", 3), bar("3/4", 3)],
    3,
    { tempoSheet: [sheetLine("1", 120)] },
  ],
  // 4 x 60/60 twice, until quarter = 80 is printed: 4 + 4 + 3
  [
    "until the next mark",
    [bar("4/4", "q=120", 4), bar("4/4", 4), bar("4/4", "q=80", 4)],
    11,
    { tempoSheet: [sheetLine("1", 60)] },
  ],
  // 4 x 60/60 + 4 x 60/80 + 4 x 60/120
  [
    "two lines and the page",
    [bar("4/4", 4), bar("4/4", 4), bar("4/4", "q=120", 4)],
    9,
    { tempoSheet: [sheetLine("1", 60), sheetLine("2", 80)] },
  ],
  // First 4 x 60/120 by the page, then 4 x 60/60
  [
    "the second time only",
    [bar("4/4", "q=120", 4, BACK)],
    6,
    { tempoSheet: [sheetLine("1", 60, 2)] },
  ],
  // First 4 x 60/60, then 4 x 60/120 by the page
  [
    "the first time only",
    [bar("4/4", "q=120", 4, BACK)],
    6,
    { tempoSheet: [sheetLine("1", 60, 1)] },
  ],
  // 4 x 60/60, then 4 x 60/80
  [
    "another each time",
    [bar("4/4", "q=120", 4, BACK)],
    7,
    { tempoSheet: [sheetLine("1", 60, 1), sheetLine("1", 80, 2)] },
  ],
  // The second time it also holds in the bar after: (2 + 2) by the page, then 4 + 4
  [
    "the second time, holding on",
    [bar("4/4", "q=120", 4), bar("4/4", 4, BACK)],
    12,
    { tempoSheet: [sheetLine("1", 60, 2)] },
  ],
  // 4 x 60/60 + 4 x 60/120; da capo 4 x 60/80 by the sheet, then the page's 4 x 60/120 to the end
  [
    "the da capo only",
    [bar("4/4", "q=60", 4), bar("4/4", "q=120", 4, `<sound dacapo="yes"/>`)],
    11,
    { tempoSheet: [sheetLine("1", 80, 2)] },
  ],
  // A tempo is the sheet's: 4 x 60/60, from 60 to 60 f: 4 ln f / (f - 1), 4 x 60/60
  [
    "a tempo back to it",
    [bar("4/4", "q=120", 4), bar("4/4", "rit.", 4), bar("4/4", "a tempo", 4)],
    8 + (4 * Math.log(rit)) / (rit - 1),
    { tempoSheet: [sheetLine("1", 60)] },
  ],
  // Tempo I is the sheet's tempo of bar 1: 4 x 60/60 + 4 x 60/120 + 4 x 60/60
  [
    "Tempo I back to it",
    [bar("4/4", "q=80", 4), bar("4/4", "q=120", 4), bar("4/4", "Tempo I", 4)],
    10,
    { tempoSheet: [sheetLine("1", 60)] },
  ],
  // Doppio movimento of the sheet's 60: 4 x 60/60 + 4 x 60/120
  [
    "doppio movimento from it",
    [bar("4/4", "q=90", 4), bar("4/4", "Doppio movimento", 4)],
    6,
    { tempoSheet: [sheetLine("1", 60)] },
  ],
  // Quarter = dotted quarter from the sheet's 60: 2 x 1 s, then two dotted quarters of 1 s
  [
    "an equation from it",
    [bar("2/4", "q=80", 2), bar("6/8", "q=q.", 3)],
    4,
    { tempoSheet: [sheetLine("1", 60)] },
  ],
  // Where an accel. leads: from 60 to 120 in 4 quarters is 60 x 4 x ln 2 / 60, then 4 x 60/120
  [
    "as the goal of an accelerando",
    [bar("4/4", direction("q=60", "accel."), 4), bar("4/4", 4)],
    4 * Math.LN2 + 2,
    { tempoSheet: [sheetLine("2", 120)] },
  ],
];
