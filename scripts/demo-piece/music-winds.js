/** Flute, oboe, bassoon and horn, at sounding pitch. See notation.js for the note text. */

export const FLUTE = [
  [0, "!mf f5:q"],
  [1, 4, "hold * f5"],
  [
    13,
    `!mf g5:q.( a5:e bb5:q g5:q) | f5:q.( d5:e bb4:h) | c#5:q( e5:q) a5:h |
    g5:q( e5:q) c#5:q( a4:q)`,
  ],
  [22, "!mp g5:e( f#5:e e5:q b5:q) | a5:q.( g5:e e5:q)"],
  [29, "r:q !mf a5:q( d6:q) | c6:q.( a5:e f#5:q)"],
  [
    40,
    "!mf bb5:q( a5:e) g5:q( d5:e) | eb5:q( f5:e) g5:q( c6:e) | bb5:q. d5:q. | eb5:q( f5:e eb5:q g5:e)",
  ],
  [46, 49, "beats * a5", "mp"],
  [50, "d6:q. r:q."],
  [51, 57, "stroke 5 e6", "f"],
  [58, "e6:q.( c#6:e) a5:q | e5:q r:q r:q | ab5:q.> ab5:q>"],
  [68, `!mf g5:e( eb5:e c6:q) | ab5:q( c6:e eb6:e) | b5:q( g#5:e e5:e) | d6:q( b5:q)`],
  [72, 79, "after * e6"],
  [86, "!p a5:q( f5:q) d5:h | f5:q( d5:q bb4:q)"],
  [
    101,
    `!f eb5:q.( f5:e g5:q bb5:q) | c6:q.( bb5:e g5:h) | ab5:q.( bb5:e) c6:q( ab5:q) | f5:h. bb4:q |
    eb5:q.( f5:e g5:q bb5:q) | c6:q.( bb5:e) ab5:q( eb5:q) | ab5:q.( g5:e) f5:q( c5:q) |
    d5:q( f5:q) bb5:h`,
  ],
  [116, "!f f5:q( ab5:q) d6:h | bb5:q.( g5:e eb5:h)"],
  [118, 120, "hold * bb5"],
  [121, 121, "pause 3 c#6"],
  [
    122,
    `!ff f#6:q.( e6:e) d6:q( a5:q) | b5:q.( a5:e g5:h) | c#6:q.( d6:e) e6:q( g6:q) |
    f#6:q.( e6:e d6:h) | g6:q.( f#6:e) d6:q( b5:q) | e6:q c#6:q a5:q c#6:q | d6:w>`,
  ],
];

export const OBOE = [
  [3, 4, "hold 3 g4", "p"],
  [
    5,
    `!mf bb4:q.( c5:e d5:q f5:q) | g5:q.( f5:e) eb5:q( c5:q) | eb5:q.( d5:e) c5:q( a4:q) |
    bb4:h. r:q`,
  ],
  [13, 16, "hold 3 c5", "p"],
  [25, 28, "hold 3 f#4", "p"],
  [29, "!mf d5:q( f#5:q a5:q) | a5:h r:q"],
  [36, `!mf g5:q.( eb5:q g5:e) | eb5:q( c5:e g5:q.) | a5:q( g5:e) f5:q( eb5:e) | d5:q.( f5:q.)`],
  [44, 45, "hold 7 g5", "mp"],
  [46, 49, "hold * f#5"],
  [50, "f#5:q. r:q."],
  [51, 58, "stroke 3 c#5", "f"],
  [59, "c#5:q r:q r:q | d5:q.> f5:q>"],
  [68, 71, "hold 3 g#4", "mp"],
  [72, 79, "after * c#5"],
  [95, 98, "hold 5 d5", "pp"],
  [101, 108, "hold 3 g4", "mf"],
  [114, "!mf g5:q.( f5:e) eb5:q( c5:q) | ab5:q.( g5:e f5:h)"],
  [116, 120, "hold 3 d5"],
  [121, 121, "pause 7 g5"],
  [122, 127, "halves 3 f#5", "ff"],
  [128, "a5:w>"],
];

export const BASSOON = [
  [1, 8, "halves 1 bb2", "p"],
  [11, 16, "hold 1 a2", "p"],
  [17, 17, "stroke 1 d3", "p"],
  [18, 28, "stroke 1 d3"],
  [29, 30, "hold 1 d3"],
  [31, 49, "beats 1 g2", "mp"],
  [50, "d3:q. r:q."],
  [51, 60, "beats 1 a2", "f"],
  [61, 71, "halves 1 bb2", "mf"],
  [72, 81, "stroke 1 a2", "mf"],
  [88, `!p "solo" bb3:h( g3:q) | eb3:q.( d3:e c3:q) | f#3:q.( g3:e a3:q)`],
  [95, 99, "hold 1 bb2", "pp"],
  [101, 108, "halves 1 eb3", "mf"],
  [109, 113, "stroke 1 eb3", "mp"],
  [114, 120, "hold 1 c3", "mf"],
  [121, 121, "pause 1 a2"],
  [122, 127, "beats 1 d3", "ff"],
  [128, "d3:w>"],
];

export const HORN = [
  [1, 7, "hold 3 a3", "p"],
  [8, "d4:h. r:q"],
  [9, 16, "hold 5 d4", "p"],
  [29, 30, "hold 7 c4", "mp"],
  [31, 35, "hold 5 d4", "p"],
  [41, 45, "hold * c4", "mp"],
  [46, 49, "halves 5 a3"],
  [50, "a3:q. r:q."],
  [51, 59, "stroke 5 e4", "f"],
  [60, "bb3:q.> bb3:q>"],
  [61, 67, "after * bb3", "mp"],
  [68, 71, "hold 5 b3"],
  [78, 81, "hold 5 b3", "mp"],
  [82, `!p "solo" a3:h | d4:h( bb3:q.) | a3:h( f3:q.) | e4:h( c#4:h)`],
  [91, 94, "hold 5 d4", "pp"],
  [99, "!pp d4:h.~ | d4:h r:q"],
  [101, 108, "hold 5 bb3", "mf"],
  [109, 113, "hold 3 g3", "p"],
  [114, 120, "hold 3 eb4", "mf"],
  [121, 121, "pause 5 e4"],
  [122, 127, "hold 3 d4", "ff"],
  [128, "d4:w>"],
];
