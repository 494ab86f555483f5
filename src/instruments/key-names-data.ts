/** How a key name is spelled; it tells the language of words that hold little else. */
export type KeySpelling = "letter" | "german" | "syllable";

export interface KeyName {
  /** Position on the line of fifths: C 0, F -1, B-flat -2. */
  readonly fifths: number;
  readonly spelling: KeySpelling;
  readonly source: string;
}

const LILYPOND_DE = "LilyPond scm/define-note-names.scm, deutsch";
const LILYPOND_IT = "LilyPond scm/define-note-names.scm, italiano";
const BERLIOZ = "Berlioz, Grand traité d'instrumentation (1844), clarinet chapter";
const COMMON = "common practice, no source";

/**
 * Key names as single words, folded as in tokens.ts. A bare "b" is B-flat in every language:
 * German B means it, and no clarinet or other woodwind in B natural is in use (common practice),
 * so an English "in B" means it as well. B natural is "h", "si", "b natural".
 */
export const KEY_NAMES: Readonly<Record<string, KeyName>> = {
  c: { fifths: 0, spelling: "letter", source: COMMON },
  d: { fifths: 2, spelling: "letter", source: COMMON },
  e: { fifths: 4, spelling: "letter", source: COMMON },
  f: { fifths: -1, spelling: "letter", source: COMMON },
  g: { fifths: 1, spelling: "letter", source: COMMON },
  a: { fifths: 3, spelling: "letter", source: COMMON },
  b: { fifths: -2, spelling: "german", source: LILYPOND_DE },
  h: { fifths: 5, spelling: "german", source: LILYPOND_DE },
  bb: { fifths: -2, spelling: "letter", source: COMMON },
  eb: { fifths: -3, spelling: "letter", source: COMMON },
  ab: { fifths: -4, spelling: "letter", source: COMMON },
  db: { fifths: -5, spelling: "letter", source: COMMON },
  gb: { fifths: -6, spelling: "letter", source: COMMON },
  es: { fifths: -3, spelling: "german", source: LILYPOND_DE },
  as: { fifths: -4, spelling: "german", source: LILYPOND_DE },
  des: { fifths: -5, spelling: "german", source: LILYPOND_DE },
  ges: { fifths: -6, spelling: "german", source: LILYPOND_DE },
  fis: { fifths: 6, spelling: "german", source: LILYPOND_DE },
  cis: { fifths: 7, spelling: "german", source: LILYPOND_DE },
  // Old German parts say Dis for E-flat: a clarinet of about 1830-40 is catalogued so
  // (Universität Leipzig, organology pages).
  dis: { fifths: -3, spelling: "german", source: "Universität Leipzig, organology pages" },
  do: { fifths: 0, spelling: "syllable", source: LILYPOND_IT },
  ut: { fifths: 0, spelling: "syllable", source: BERLIOZ },
  re: { fifths: 2, spelling: "syllable", source: LILYPOND_IT },
  mi: { fifths: 4, spelling: "syllable", source: LILYPOND_IT },
  fa: { fifths: -1, spelling: "syllable", source: LILYPOND_IT },
  sol: { fifths: 1, spelling: "syllable", source: LILYPOND_IT },
  la: { fifths: 3, spelling: "syllable", source: LILYPOND_IT },
  // The Russian name of A, transliterated.
  lia: { fifths: 3, spelling: "syllable", source: COMMON },
  si: { fifths: 5, spelling: "syllable", source: LILYPOND_IT },
  sib: { fifths: -2, spelling: "syllable", source: LILYPOND_IT },
  mib: { fifths: -3, spelling: "syllable", source: LILYPOND_IT },
  lab: { fifths: -4, spelling: "syllable", source: LILYPOND_IT },
  reb: { fifths: -5, spelling: "syllable", source: LILYPOND_IT },
  solb: { fifths: -6, spelling: "syllable", source: LILYPOND_IT },
};

/** Words and signs after a note name, in fifths: a flat is seven fifths down. */
export const ACCIDENTALS: Readonly<Record<string, number>> = {
  "♭": -7,
  flat: -7,
  bemol: -7,
  bemolle: -7,
  bem: -7,
  "♯": 7,
  sharp: 7,
  diesis: 7,
  diese: 7,
  diez: 7,
  sostenido: 7,
  "♮": 0,
  natural: 0,
  naturale: 0,
  naturel: 0,
  bequadro: 0,
  becarre: 0,
};

/** A note name before one of these is a tonality ("in A major"), not an instrument's key. */
export const MODES: ReadonlySet<string> = new Set([
  "major", "minor", "maj", "min", "dur", "moll", "maggiore", "minore", "magg",
  "majeur", "mineur", "mayor", "menor",
]); // prettier-ignore
