/**
 * Words that set or bend a tempo, in four languages: the terms of the published tables (music21
 * tempo.py defaultTempoValues, HEAD 3146cb08; handbook tables of tempo words) and, for the
 * modifiers and the German and French words, common practice. Only whether a text is one is told here.
 */
const TERMS: readonly string[] = [
  "largo", "larghetto", "largamente", "grave", "lento", "adagio", "adagietto", "andante", "andantino",
  "moderato", "allegro", "allegretto", "animato", "vivace", "vivo", "vivacissimo", "presto", "prestissimo",
  "maestoso", "mosso", "doppio movimento", "istesso tempo", "stesso tempo", "a tempo", "tempo primo",
  "tempo i", "in tempo", "rallentando", "rall", "ritardando", "ritard", "rit", "ritenuto", "riten",
  "accelerando", "accel", "stringendo", "string", "affrettando", "stretto", "allargando", "allarg",
  "calando", "morendo", "smorzando", "rubato", "ad libitum", "a piacere", "cadenza", "lunga", "g.p.",
  "langsam", "langsamer", "breit", "breiter", "ruhig", "ruhiger", "bewegt", "bewegter", "lebhaft",
  "lebhafter", "rasch", "schnell", "schneller", "mäßig", "mässig", "zurückhaltend", "beschleunigend",
  "im tempo", "lent", "modéré", "animé", "vif", "vite", "animant", "animez", "pressant", "pressez",
  "serrez", "serré", "cédez", "retenant", "retenu", "élargissant", "ralentir", "au mouvement", "mouvt",
  "slow", "slower", "fast", "faster", "broadly", "lively",
]; // prettier-ignore

const PATTERN = new RegExp(
  `(?:^|[^\\p{L}])(?:${TERMS.map((term) => term.replaceAll(".", "\\.")).join("|")})(?:$|[^\\p{L}])`,
  "iu",
);

/** No mark is longer; what is is a preface, not a tempo. */
const LONGEST = 120;

/** Whether printed words speak of the tempo: "Più mosso", "poco rit.", "Langsamer". */
export function isTempoWords(text: string): boolean {
  return text.length <= LONGEST && PATTERN.test(text);
}
