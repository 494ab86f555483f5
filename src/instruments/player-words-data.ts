/**
 * Words for all players of a shared staff, folded as in tokens.ts. "a 2", "1.",
 * "div." and "unis." stand so in public scores (OpenScore Orchestra corpus); the rest is common practice,
 * no source.
 */
export const ALL_PLAYERS: readonly (readonly string[])[] = [
  ["a", "due"], ["a", "deux"], ["a", "dos"], ["a", "2"], ["a", "3"], ["a", "4"],
  ["zu", "2"], ["zu", "3"], ["zu", "4"], ["zu", "zweit"], ["zu", "zweien"], ["zu", "dritt"],
  ["a", "tre"], ["a", "trois"],
  ["unis"], ["unisono"], ["unisson"], ["unison"],
  ["tous", "div", "en"], ["tous", "div"], ["non", "div"], ["nicht", "geteilt"],
  ["div"], ["divisi"], ["divises"], ["divided"], ["geteilt"], ["get"],
  ["tutti"], ["tous"], ["beide"], ["both"], ["tous", "deux"], ["les", "deux"], ["les", "2"], ["zus"], ["zusammen"], ["soli"], ["alle"],
]; // prettier-ignore

/** Words before a number: "nur 2.". */
export const ONLY_WORDS: ReadonlySet<string> = new Set([
  "nur",
  "only",
  "solo",
  "soltanto",
  "seulement",
]);

/** Without a number these mean the first player. */
export const SOLO_WORDS: ReadonlySet<string> = new Set(["solo", "soliste", "solistisch"]);

/**
 * Words that may stand beside those who play: how they play. Anything else makes the text something
 * else: "1. Tempo", "II. Satz", "I. Allegro".
 */
export const COMPANIONS: ReadonlySet<string> = new Set([
  ...SOLO_WORDS, "soli", "seul", "alone", "allein", "only", "nur", "player", "spieler",
  // Mutes.
  "con", "senza", "sord", "sordino", "sordini", "sourd", "sourdine", "avec", "sans", "sourdines",
  "mit", "ohne", "dampfer", "gestopft", "offen", "mute", "muted", "open",
  // Loudness.
  "p", "pp", "ppp", "pppp", "f", "ff", "fff", "mf", "mp", "sf", "sfz", "fp", "rf", "rfz", "fz",
  "cresc", "dim", "dimin", "decresc", "forte", "piano", "pianissimo", "fortissimo", "mezza", "mezzo",
  "voce", "sotto", "sub", "subito",
  // Expression.
  "dolce", "dolciss", "dolcissimo", "dol", "espr", "espress", "espressivo", "expr", "expressif", "cant",
  "cantabile", "cantando", "marc", "marcato", "marque", "legato", "leg", "legg", "leggiero", "leggero",
  "leger", "stacc", "staccato", "sost", "sostenuto", "soutenu", "ten", "tenuto", "portato", "pesante",
  "grazioso", "semplice", "tranq", "tranquillo", "teneramente", "hervortretend", "hervor", "zart",
  "ausdrucksvoll", "dehors", "en", "quasi", "sempre", "molto", "poco", "piu", "meno", "un", "ma", "non",
  "e", "ed", "et", "und", "and", "pizz", "arco",
]); // prettier-ignore
