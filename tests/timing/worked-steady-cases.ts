import { bar, direction, FORTH, offset, type WorkedRow } from "./marks.js";
import { BACK } from "./times.js";

const ending = (number: number, type: string) =>
  `<barline location="${type === "start" ? "left" : "right"}"><ending number="${number}" type="${type}"/>${type === "stop" && number === 1 ? `<repeat direction="backward"/>` : ""}</barline>`;
const THREE_TIMES = `<barline><repeat direction="backward" times="3"/></barline>`;

// Sums worked by hand: beats x 60 / beats a minute, or seconds a beat x beats.
export const STEADY: readonly WorkedRow[] = [
  // breve = 15: a breve lasts 4 s, and the bar is one
  ["4/2, breves", [bar("4/2", "b=15", 8)], 4],
  // dotted whole = 20: 3 s, and the bar is one
  ["3/2, dotted wholes", [bar("3/2", "w.=20", 6)], 3],
  // double-dotted half = 30: 3.5 quarters in 2 s, and the bar is two of them
  ["7/4, double-dotted halves", [bar("7/4", "h..=30", 7)], 4],
  // triple-dotted quarter = 32: 60/32 s each; 7.5 quarters / 1.875 = 4 of them: 4 x 60/32
  ["15/8, triple-dotted quarters", [bar("15/8", "q...=32", 7.5)], 7.5],
  // dotted eighth = 80: 0.75 s; the bar is two
  ["3/8, dotted eighths", [bar("3/8", "e.=80", 1.5)], 1.5],
  // 16th = 240: 0.25 s; the bar is three
  ["3/16, sixteenths", [bar("3/16", "s=240", 0.75)], 0.75],
  // 32nd = 480: 0.125 s; eight in a quarter, twelve in the bar
  ["3/8, thirty-seconds", [bar("3/8", "t=480", 1.5)], 1.5],
  // dotted half tied to eighth = 30: 2 s for 3.5 quarters, and the bar is that long
  ["7/8, dotted tied beat unit", [bar("7/8", "h.~e=30", 3.5)], 2],
  // quarter tied to 16th = 48: 1.25 s for 1.25 quarters, and the bar is that long
  ["5/16, tied beat unit", [bar("5/16", "q~s=48", 1.25)], 1.25],
  // three values tied: 2 + 0.5 + 0.25 = 2.75 quarters = 40: 1.5 s; the bar is two
  ["11/8, three tied", [bar("11/8", "h~e~s=40", 5.5)], 3],
  // the middle of 56 and 64 is 60: four dotted quarters of 1 s
  ["12/8, range", [bar("12/8", "q.=56-64", 6)], 4],
  // the middle of 50 and 58 is 54: three halves of 60/54 s
  ["3/2, range with a dash between figures", [bar("3/2", "h=50–58", 6)], 180 / 54],
  // two halves of 60/72 s
  ["2/2, ca.", [bar("2/2", "h=ca. 72", 4)], 120 / 72],
  // four quarters of 0.6 s
  ["4/4, about", [bar("4/4", "q=~100", 4)], 2.4],
  // five quarters of 60/62.5 = 0.96 s
  ["5/4, decimal comma", [bar("5/4", "q=62,5", 5)], 4.8],

  // six eighths of 60/90 s
  ["6/8, eighths", [bar("6/8", "e=90", 3)], 4],
  // three dotted quarters of 60/72 s
  ["9/8, dotted quarters", [bar("9/8", "q.=72", 4.5)], 2.5],
  // twelve eighths of 60/180 s
  ["12/8, eighths", [bar("12/8", "e=180", 6)], 4],
  // two and a half quarters of 60/75 = 0.8 s
  ["5/8, quarters", [bar("5/8", "q=75", 2.5)], 2],
  // 3.5 quarters are 7/3 dotted quarters of 1 s
  ["7/8, dotted quarters", [bar("7/8", "q.=60", 3.5)], 7 / 3],
  // five eighths of 60/200 = 0.3 s
  ["3+2/8, eighths", [bar("3+2/8", "e=200", 2.5)], 1.5],
  // three halves of 60/45 s
  ["3/2, halves", [bar("3/2", "h=45", 6)], 4],
  // two halves of 60/80 = 0.75 s
  ["2/2, halves", [bar("2/2", "h=80", 4)], 1.5],
  // two dotted halves of 2 s
  ["6/4, dotted halves", [bar("6/4", "h.=30", 6)], 4],
  // Without a sign the quarter goes on: (4 + 3) x 60/90
  ["4/4 to 6/8, nothing printed", [bar("4/4", "q=90", 4), bar("6/8", 3)], 14 / 3],
  // A printed number is not bent by the meter: 3 x 60/90 + 6 x 60/90
  ["3/4 to 3/2, nothing printed", [bar("3/4", "q=90", 3), bar("3/2", 6)], 6],

  // 1 x 60/60 + 1 x 60/120 + 2 x 60/80
  ["three marks in one bar", [bar("4/4", "q=60", 1, "q=120", 1, "q=80", 2)], 3],
  // Half a beat of 6/8 is 0.75 quarters: 0.75 x 60/60 + 2.25 x 60/90 = 0.75 + 1.5
  ["6/8, a mark on half a beat", [bar("6/8", "q.=40", 0.75, "q.=60", 2.25)], 2.25],
  // The words do not unsettle the number: 3 x 60/80
  ["a number with words of its own", [bar("3/4", direction("Adagio", "q=80"), 3)], 2.25],
  // Set half a quarter late: 0.5 x 60/60 + 1.5 x 60/120
  ["offset of half a quarter", [bar("2/4", "q=60", direction("q=120", offset(0.5)), 2)], 1.25],
  // Written after the rest, a whole bar early: 2 x 60/60 + 2 x 60/120
  [
    "offset back to the bar line",
    [bar("2/4", "q=60", 2), bar("2/4", 2, direction("q=120", offset(-2)))],
    3,
  ],
  // Written at the end of a bar, it holds from the next on: 4 x 60/60 + 4 x 60/120
  ["a mark at the end of a bar", [bar("4/4", "q=60", 4, "q=120"), bar("4/4", 4)], 6],

  // 3 x (2 x 60/60 + 2 x 60/120)
  ["played three times", [bar("2/4", "q=60", 2), bar("2/4", "q=120", 2, THREE_TIMES)], 9],
  // Every time the page is read anew: 4, then 4 + 2, 4 + 2 from the sign on
  [
    "repeat into the middle of a tempo",
    [bar("4/4", "q=60", 4), FORTH + bar("4/4", 4), bar("4/4", "q=120", 4, BACK)],
    16,
  ],
  // 4 x 60/60, first ending 4 x 60/120; 4 x 60/60, second ending 4 x 60/80
  [
    "tempi in the endings",
    [
      bar("4/4", "q=60", 4),
      ending(1, "start") + bar("4/4", "q=120", 4, ending(1, "stop")),
      ending(2, "start") + bar("4/4", "q=80", 4, ending(2, "stop")),
    ],
    13,
  ],
  // 4 x 60/60 + 4 x 60/120 + 4 x 60/80, then 4 x 60/60 + 4 x 60/120 up to Fine
  [
    "da capo al Fine",
    [
      bar("4/4", "q=60", 4),
      bar("4/4", "q=120", 4, `<sound fine="yes"/>`),
      bar("4/4", "q=80", 4, `<sound dacapo="yes"/>`),
    ],
    15,
  ],
  // 1 bar of 2 s, 1 of 4 s, 1 of 3 s; back to bar 2, where quarter = 60 holds: 4 s and 3 s
  [
    "dal segno into another tempo",
    [
      bar("4/4", "q=120", 4),
      bar("4/4", `<sound segno="s"/>`, "q=60", 4),
      bar("4/4", "q=80", 4, `<sound dalsegno="s"/>`),
    ],
    16,
  ],
];
