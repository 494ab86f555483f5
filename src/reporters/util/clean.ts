/** Control characters, line separators and marks that turn the direction of writing. */
const UNPRINTABLE = /[\p{Cc}\u2028\u2029\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]/gu;

/** No title or bar number needs more; a hostile one could fill the page. */
const LONGEST = 300;

/** Text out of a file, made safe for a terminal: one line, no control characters, not endless. */
export function clean(text: string): string {
  return cleanTo(text, LONGEST);
}

/** The same for texts that may be longer or must be shorter. */
export function cleanTo(text: string, longest: number): string {
  const plain = text
    .slice(0, 2 * longest)
    .replace(UNPRINTABLE, " ")
    .replace(/ {2,}/g, " ")
    .trim();
  return plain.length > longest ? `${plain.slice(0, longest)}…` : plain;
}

/** Escapes in JSON what could steer a terminal that shows it; the parsed text stays the same. */
export function escapeForTerminal(json: string): string {
  return json.replace(
    /[\u007f-\u009f\u2028\u2029\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]/g,
    (character) => {
      return `\\u${character.charCodeAt(0).toString(16).padStart(4, "0")}`;
    },
  );
}
