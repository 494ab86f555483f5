import { bar, direction, factorOf, noteEquation, type WorkedRow } from "./marks.js";

const faster = factorOf("Più mosso");
const slower = factorOf("Meno mosso");

// "Old = new": the two values last equally long.
export const RELATIONS: readonly WorkedRow[] = [
  // Two quarters of 1 s, then two dotted quarters of 1 s
  ["quarter = dotted quarter", [bar("2/4", "q=60", 2), bar("6/8", "q=q.", 3)], 4],
  // Two dotted quarters of 1 s, then two quarters of 1 s
  ["dotted quarter = quarter", [bar("6/8", "q.=60", 3), bar("2/4", "q.=q", 2)], 4],
  // Eighths of 60/80/2 = 0.375 s throughout: eight, then six
  ["eighth = eighth, 4/4 to 6/8", [bar("4/4", "q=80", 4), bar("6/8", "e=e", 3)], 5.25],
  // Two dotted quarters of 1 s, then two halves of 1 s
  ["dotted quarter = half", [bar("6/8", "q.=60", 3), bar("2/2", "q.=h", 4)], 4],
  // Two halves of 1 s, then four quarters of 1 s
  ["half = quarter", [bar("2/2", "h=60", 4), bar("4/4", "h=q", 4)], 6],
  // Two quarters of 0.75 s, then four eighths of 0.75 s
  ["quarter = eighth", [bar("2/4", "q=80", 2), bar("4/8", "q=e", 2)], 4.5],
  // Three dotted quarters of 60/90 s, then three quarters of 60/90 s
  ["9/8 to 3/4", [bar("9/8", "q.=90", 4.5), bar("3/4", "q.=q", 3)], 4],
  // Sixteen 16ths of 1/8 s, then five 16ths as long
  ["16th = 16th, 4/4 to 5/16", [bar("4/4", "q=120", 4), bar("5/16", "s=s", 1.25)], 2.625],
  // Double-dotted quarter of 3.5 / 2 x 60/105 = 1 s, then two dotted halves of 1 s
  ["double-dotted quarter = dotted half", [bar("7/8", "q=105", 3.5), bar("6/4", "q..=h.", 6)], 4],

  // As two rows of notes: two quarters of 0.8 s, then two dotted quarters of 0.8 s
  [
    "notes: quarter = dotted quarter",
    [bar("2/4", "q=75", 2), bar("6/8", direction(noteEquation(["q"], ["q."])), 3)],
    3.2,
  ],
  // Quarter and eighth together last 1.5 x 60/90 = 1 s: two in the bar; then two halves of 1 s
  [
    "notes: quarter + eighth = half",
    [bar("6/8", "q=90", 3), bar("2/2", direction(noteEquation(["q", "e"], ["h"])), 4)],
    4,
  ],
  // A triplet quarter lasts 2/3 s: four quarters of 1 s, then four of 2/3 s
  [
    "notes: triplet quarter = quarter",
    [bar("4/4", "q=60", 4), bar("4/4", direction(noteEquation(["3q"], ["q"])), 4)],
    20 / 3,
  ],
  // An eighth of 0.5 s is now the third of a quarter, which lasts 1.5 s: 4 + 4 x 1.5
  [
    "notes: eighth = triplet eighth",
    [bar("4/4", "q=60", 4), bar("4/4", direction(noteEquation(["e"], ["3e"])), 4)],
    10,
  ],
  // Swing: two eighths and a triplet's quarter and eighth both last a quarter: 2 + 2
  [
    "notes: eighths played as a triplet",
    [bar("4/4", "q=120", 4), bar("4/4", direction(noteEquation(["e", "e"], ["3q", "3e"])), 4)],
    4,
  ],
  // A triplet's quarter and eighth, and an eighth after it: 1.5 x 60/90 = 1 s; then two halves of 1 s
  [
    "notes: a triplet and an eighth = half",
    [bar("6/8", "q=90", 3), bar("2/2", direction(noteEquation(["3q", "3e", "e"], ["h"])), 4)],
    4,
  ],
  // Three triplet eighths are a quarter of 0.5 s, now two eighths: 2 + 4 x 0.5
  [
    "notes: a whole triplet = two eighths",
    [
      bar("4/4", "q=120", 4),
      bar("4/4", direction(noteEquation(["3e", "3e", "3e"], ["e", "e"])), 4),
    ],
    4,
  ],
  // Half tied to eighth: 2.5 quarters of 0.4 s are 1 s, two in the bar; then two halves of 1 s
  ["half tied to eighth = half", [bar("5/4", "q=150", 5), bar("2/2", "h~e=h", 4)], 4],
  // Two halves of 1 s, then half tied to eighth of 1 s: two in the bar
  ["half = half tied to eighth", [bar("2/2", "h=60", 4), bar("5/4", "h=h~e", 5)], 4],

  // Two bars in the old tempo, 2 and 1.5 s; then two halves of 0.5 s
  ["two bars on", [bar("4/4", "q=120", 4), bar("3/4", 3), bar("2/2", "q=h", 4)], 4.5],
  // Two quarters of 1 s; from there on a half lasts 1 s
  ["in mid-bar", [bar("4/4", "q=60", 2, "q=h", 2)], 3],
  // Beats of 1 s throughout: two quarters, two dotted quarters, two halves
  ["a chain of two", [bar("2/4", "q=60", 2), bar("6/8", "q=q.", 3), bar("2/2", "q.=h", 4)], 6],
  // A quarter of 1 s, then of 2 s, then of 1 s again
  [
    "a chain there and back",
    [bar("4/4", "q=60", 4), bar("4/4", "q=e", 4), bar("4/4", "e=q", 4)],
    16,
  ],
  // Four quarters of 1 s, four of 0.5 s, and of 60/80 s as printed
  [
    "until the next number",
    [bar("4/4", "q=60", 4), bar("4/4", "e=q", 4), bar("4/4", "q=80", 4)],
    9,
  ],
  // The middle of 112 and 128 is 120: 2 x 0.5, then two dotted quarters of 0.5 s
  ["from a range", [bar("2/4", "q=112-128", 2), bar("6/8", "q=q.", 3)], 2],
  // Four quarters of 1 s, of 0.5 s, of 1 s
  ["then Tempo I", [bar("4/4", "q=60", 4), bar("4/4", "e=q", 4), bar("4/4", "Tempo I", 4)], 10],

  // Half the seconds: 4, then 2
  ["doppio movimento", [bar("4/4", "q=60", 4), bar("4/4", "Doppio movimento", 4)], 6],
  // Twice the seconds: 2, then 4
  ["doppio più lento", [bar("4/4", "q=120", 4), bar("4/4", "Doppio più lento", 4)], 6],
  // 4, then 2, then 4
  [
    "doppio movimento, then Tempo I",
    [bar("4/4", "q=60", 4), bar("4/4", "Doppio movimento", 4), bar("4/4", "Tempo I", 4)],
    10,
  ],
  // 3, half of it, and 3 again
  [
    "doppio movimento and doppio più lento",
    [bar("4/4", "q=80", 4), bar("4/4", "Doppio movimento", 4), bar("4/4", "Doppio più lento", 4)],
    7.5,
  ],
  // Beats of 1 s: two quarters, two dotted quarters
  ["l'istesso tempo, 2/4 to 6/8", [bar("2/4", "q=60", 2), bar("6/8", "L'istesso tempo", 3)], 4],
  // Beats of 60/72 s: two dotted quarters, two quarters
  [
    "l'istesso tempo, 6/8 to 2/4",
    [bar("6/8", "q.=72", 3), bar("2/4", "L'istesso tempo", 2)],
    240 / 72,
  ],
  // Beats of 60/90 s: three quarters, three dotted quarters
  ["lo stesso tempo, 3/4 to 9/8", [bar("3/4", "q=90", 3), bar("9/8", "Lo stesso tempo", 4.5)], 4],
  // The beat stays what it was: 4 + 4
  ["l'istesso tempo, same meter", [bar("4/4", "q=60", 4), bar("4/4", "L'istesso tempo", 4)], 8],
  // Beats of 1 s in all three bars: 2 + 2 + 2
  [
    "l'istesso tempo, then Tempo I",
    [bar("2/4", "q=60", 2), bar("6/8", "L'istesso tempo", 3), bar("2/4", "Tempo I", 2)],
    6,
  ],

  // 4 + 2 + 3, and 4 as at first
  [
    "Tempo I after several changes",
    [
      bar("4/4", "q=60", 4),
      bar("4/4", "q=120", 4),
      bar("4/4", "q=80", 4),
      bar("4/4", "Tempo I", 4),
    ],
    13,
  ],
  // 4; 2 quarters of 0.5 s and 2 of 1 s
  ["tempo primo in mid-bar", [bar("4/4", "q=60", 4), bar("4/4", "q=120", 2, "Tempo primo", 2)], 7],
  // 2 as marked, 4 as marked, 2 as the same word was marked
  [
    "the same word again",
    [
      bar("4/4", direction("Allegro", "q=120"), 4),
      bar("4/4", direction("Adagio", "q=60"), 4),
      bar("4/4", "Allegro", 4),
    ],
    8,
  ],
  // 4, then one documented step faster, 4 / s, and another, 4 / s²
  [
    "più mosso twice",
    [bar("4/4", "q=60", 4), bar("4/4", "Più mosso", 4), bar("4/4", "Ancora più mosso", 4)],
    4 + 4 / faster + 4 / faster ** 2,
  ],
  // 2, then one documented step slower: 2 / s; then 2 again
  [
    "meno mosso, then Tempo I",
    [bar("4/4", "q=120", 4), bar("4/4", "Meno mosso", 4), bar("4/4", "Tempo I", 4)],
    4 + 2 / slower,
  ],
];
