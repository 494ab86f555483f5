/**
 * Longest printed text that is looked at, in characters. Names and instructions are far shorter;
 * the cap keeps the cost of a hostile file small.
 */
export const MAX_TEXT_LENGTH = 200;

/** Likewise the most words and signs of a text that is looked at. */
const MOST_TOKENS = 40;

/** A word, number or sign of a printed text. Brackets and other punctuation make no token. */
export interface Token {
  readonly kind: "word" | "number" | "accidental" | "separator";
  /** Lower case, without diacritics: "Flöte" is "flote", "Baß" is "bass", "2nd" is "2". */
  readonly text: string;
  /**
   * What phrases are looked up by. As `text`, but a single letter keeps the dot or hyphen after
   * it, since "B. Kl." is a bass clarinet and "B-Kl." one in B-flat.
   */
  readonly key: string;
  /** As printed, apart from ligatures and diacritics: capitals tell a key from an article. */
  readonly raw: string;
  /** Whether a dot follows: "2. Klarinette" is the second player, "2 Klarinetten" are two. */
  readonly dotted: boolean;
  readonly hyphenated: boolean;
  /** Whether an ordinal ending belongs to the number: "2nd", "1er". */
  readonly ordinal: boolean;
}

/** Accidentals in Unicode and in the SMuFL private area become one sign each. */
const SIGNS: ReadonlyMap<string, string> = new Map([
  ["\uE260", "♭"],
  ["\uE261", "♮"],
  ["\uE262", "♯"],
  ["#", "♯"],
]);

/** Alternatives that begin differently and never fail half-way, so the cost is linear. */
const TOKEN =
  /(\p{L}+)|(\d+)((?:st|nd|rd|th|er|ere|re|eme|me|mo|ma|do|da|ro|ra|e|o|a)(?!\p{L}))?|([♭♯♮])|[,;/&+]/gu;

/** A word that a line break divides: "Bassklari-\nnette". */
const DIVIDED = /(\p{L}+)-\s*\n\s*(\p{L}+)/gu;

/** What is a word of its own after a hyphen: "si-bémol" is not divided. */
const ACCIDENTAL_WORD = /^(?:bemol|dies)/i;

/** The two halves of a word as one; "Es-\nKlar." and "B-\nKlar." are whole words with a hyphen. */
function mended(whole: string, left: string, right: string): string {
  const capitals = left.length > 2 && left === left.toUpperCase();
  const goesOn = /^\p{Ll}/u.test(right) ? /\p{Ll}$/u.test(left) : capitals;
  return goesOn && !ACCIDENTAL_WORD.test(right) ? left + right : whole;
}

/** Lower case, no diacritics, plain spaces, plain hyphens, one sign for each accidental. */
function plain(text: string): string {
  return (
    text
      .replace(/\u00AD(?=\s*\n)/g, "-")
      // Before NFKD, which would make an "o" of the ordinal sign.
      .replace(/[°º]/g, ".")
      .normalize("NFKD")
      // Combining marks and invisible characters, such as soft hyphens.
      .replace(/[\p{M}\p{Cf}]/gu, "")
      .replace(/[\uE260-\uE262#]/g, (sign) => SIGNS.get(sign) ?? sign)
      .replace(/ß/g, "ss")
      .replace(/[\u2010-\u2015\u2212]/g, "-")
      .replace(DIVIDED, mended)
      .replace(/\s/g, " ")
      .replace(/[‘’ʼ`´]/g, "'")
      // The oboe d'amore is one name; other apostrophes end an article (l'oboe).
      .replace(/d'\s?(?=amo)/gi, "d")
  );
}

/** The first printed character after a place, or nothing at the end. */
function nextSign(line: string, from: number): string {
  let index = from;
  while (line.charAt(index) === " ") index += 1;
  return line.charAt(index);
}

/** Splits a text; one too long to be a name or an instruction gives no tokens. */
export function tokenize(text: string): readonly Token[] {
  if (text.length > MAX_TEXT_LENGTH) return [];
  const line = plain(text);
  const tokens: Token[] = [];
  for (const match of line.matchAll(TOKEN)) {
    const [whole, word, number, ordinalEnding, accidental] = match;
    const raw = number ?? whole;
    const lower = raw.toLowerCase();
    const after = nextSign(line, match.index + whole.length);
    const mark = after === "." || after === "-" ? after : "";
    tokens.push({
      kind: word ? "word" : number ? "number" : accidental ? "accidental" : "separator",
      text: lower,
      key: word && lower.length === 1 ? lower + mark : lower,
      raw,
      dotted: after === ".",
      hyphenated: after === "-",
      ordinal: ordinalEnding !== undefined,
    });
  }
  return tokens.length > MOST_TOKENS ? [] : tokens;
}
