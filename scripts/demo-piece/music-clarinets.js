/** The two clarinets, at sounding pitch. See notation.js for the note text. */

export const CLARINET_1 = [
  [1, 4, "hold 5 d4", "p"],
  [9, `!mf d5:q.( c5:e bb4:q g4:q) | g5:q.( f5:e eb5:h) | c5:q.( bb4:e) a4:q( f4:q) | d5:h( f5:h)`],
  [13, 16, "hold 5 e4", "p"],
  [19, 21, "hold 5 a4", "p"],
  [24, 28, "hold * b4"],
  [36, 45, "hold 3 g4", "p"],
  [46, 49, "hold * a4"],
  [50, "d5:q. r:q."],
  [51, 60, "beats 3 c#5", "mf"],
  [61, 67, "after * eb5", "p"],
  [68, 71, "waves * c5"],
  [72, 79, "beats 5 e5", "mf"],
  [82, 84, "hold 5 a4", "pp"],
  [101, 108, "hold * eb5", "mf"],
  [114, 117, "hold 5 bb4", "mf"],
  [118, "!f d5:q( g5:q) bb5:h | f5:q( d5:q) bb4:h | e5:h( g5:h) | e5:h. r:q^"],
  [122, 127, "beats 5 a5", "ff"],
  [128, "f#5:w>"],
];

export const CLARINET_2 = [
  [
    1,
    `!p d4:h( f4:h) | g4:h( d4:h) | g4:h( bb4:h) | c5:h( a4:h) | !mf bb4:q.( c5:e d5:q f5:q) |
    eb5:q.( d5:e c5:h) | c5:q( a4:q) f4:q( a4:q) | bb4:h. "muta_in_La" r:q`,
  ],
  [
    17,
    `!mf "dolce" f#4:q( a4:q d5:q) | c#5:q.( b4:e a4:q) | d5:h( f#5:q) | g5:q.( f#5:e d5:q) |
    f#5:h r:q`,
  ],
  [
    24,
    `e5:g d5:h( f#4:q) | d5:q( b4:q f#4:q) | g4:e( a4:e b4:q e5:q) |
    e5:e3( d5:e3 c#5:e3) a4:q( g4:q) | f#4:h "muta_in_Si♭"@bflat r:q`,
  ],
  [
    31,
    `r:q. !mf g4:e( a4:e bb4:e) | d5:q.( bb4:q.) | c5:e( d5:e eb5:e g5:q.) | f#5:q.( d5:q c5:e) |
    bb4:q. "take_A_clarinet" r:q.`,
  ],
  [
    46,
    `!mf f#5:e( e5:e d5:e a4:q.) | b4:q( d5:e g5:q.) | e5:e( c#5:e a4:e g4:q.) |
    f#4:q( a4:e) d5:q( f#5:e) | d5:q. r:q.`,
  ],
  [
    51,
    `!f a4:e c#5:e e5:e c#5:e a4:e c#5:e | g#4:e b4:e d5:e b4:e g#4:e b4:e |
    a4:e( c#5:e) e5:q' a4:q'`,
  ],
  [
    56,
    `!f f#5:q.( e5:e d5:q) | e5:q( d5:q b4:q) | c#5:h( a4:q) |
    a4:h> "nimmt_B-Klarinette" r:q`,
  ],
  [
    61,
    `r:q !f eb5:e' g5:e' | ab5:q( eb5:e c5:e) | d5:e' f5:e' ab5:q> | g5:q( eb5:q) |
    c5:e( d5:e eb5:q) | f5:e( d5:e bb4:q) | eb5:q "take_A_clarinet" r:q`,
  ],
  [
    72,
    `@a !f c#5:e' e5:e' a5:q> | f#5:q( d5:q) | g#4:e( b4:e e5:q) | e5:q( c#5:q) | f#5:q.( c#5:e) |
    d5:q( b4:q) | b4:e( d5:e g#5:q) | a5:q( e5:q) | !p e4:h~ | e4:h`,
  ],
  [82, '"to_Bass_Cl." R'],
  [89, '"Bsn." *eb4:q. *d4:e *c4:q | *f#4:q. *g4:e *a4:q'],
  [
    91,
    `!p @bass g2:q.( a2:e bb2:q) | c3:h( g2:q) | bb2:q.( a2:e g2:q) | f#2:h. | g2:h( d3:q) |
    eb3:q.( d3:e bb2:q) | c3:e( d3:e eb3:q c3:q) | a2:q( f#2:q d2:q) | !pp g2:h.~ |
    g2:h "take_B♭_clarinet" r:q`,
  ],
  [
    109,
    `!mf @bflat eb5:q.( f5:e g5:q bb4:q) | c5:q.( d5:e eb5:h) | c5:e( eb5:e) ab5:q ab5:e( eb5:e) c5:q |
    d5:e3( f5:e3 ab5:e3) f5:q( d5:q) bb4:q | eb5:h "muta_in_La" r:h`,
  ],
  [121, "r:h. r:q^"],
  [
    122,
    `!ff f#5:q.( e5:e) d5:q( a4:q) | b4:q.( a4:e g4:h) | c#5:q.( d5:e) e5:q( g5:q) |
    f#5:q.( e5:e d5:h) | g5:q.( f#5:e) d5:q( b4:q) | e5:q c#5:q a4:q c#5:q | d5:w>`,
  ],
];
