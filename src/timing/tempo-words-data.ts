import type { TempoRange } from "../model/time.js";

// Words that speak of the tempo. Everything is looked up without capitals, accents and full stops, and
// with "ss" for "ß", so "mäßig" here also finds "MASSIG". A full stop after a word marks an abbreviation.
// Add a word by adding it to its list.

export type Direction = "slower" | "faster";

/** A printed figure, or a printed range; of an open range only one end is given. Beats a minute. */
export type Figure = number | readonly [low: number | undefined, high: number | undefined];

/**
 * The published figures, one a source; beats a minute, the beat being a quarter or the notated one.
 * - music21: tempo.py, defaultTempoValues (HEAD 3146cb08), single default values
 * - dial: the traditional table of metronome dials as reprinted at instrument.bible, Theory > Tempo
 * - variant: the same table as in the Wikipedia article "Tempo"
 * - harmonie: musique-harmonie.fr, "Main indications of tempo"
 * - drum: drum-info.de, "Tempoangaben", single values
 */
// prettier-ignore
export const PUBLISHED = {
  larghissimo: { music21: 16, dial: [undefined, 24] },
  largamente: { music21: 32 },
  grave: { music21: 40, dial: [25, 40], variant: [25, 45], harmonie: [40, 45], drum: 40 },
  "molto adagio": { music21: 40 },
  largo: { music21: 46, dial: [40, 60], harmonie: [45, 55], drum: 44 },
  lento: { music21: 52, dial: [45, 60], harmonie: [52, 65], drum: 52 },
  adagio: { music21: 56, dial: [66, 76], harmonie: [55, 70], drum: 58 },
  larghetto: { music21: 60, dial: [60, 66], harmonie: [50, 60] },
  adagietto: { music21: 66, dial: [72, 76], variant: [70, 80], harmonie: [58, 75] },
  andante: { music21: 72, dial: [76, 108], harmonie: [60, 90], drum: 66 },
  andantino: { music21: 80, dial: [80, 108], harmonie: [70, 100] },
  "marcia moderato": { dial: [83, 85] },
  "andante moderato": { music21: 83, dial: [92, 112] },
  maestoso: { music21: 88 },
  moderato: { music21: 92, dial: [108, 120], harmonie: [80, 105], drum: 88 },
  allegretto: { music21: 108, dial: [112, 120], harmonie: [100, 120], drum: 104 },
  animato: { music21: 120 },
  "allegro moderato": { music21: 128, dial: [116, 120] },
  allegro: { music21: 132, dial: [120, 168], variant: [120, 156], harmonie: [116, 150], drum: 132 },
  "molto allegro": { music21: 144 },
  "très vite": { music21: 144 },
  "allegro vivace": { dial: [172, 176] },
  allegrissimo: { music21: 140, dial: [172, 176] },
  vivace: { music21: 160, dial: [168, 176], variant: [156, 176], harmonie: [126, 170], drum: 160 },
  vivacissimo: { music21: 168, dial: [172, 176] },
  presto: { music21: 184, dial: [168, 200], variant: [168, 200], harmonie: [144, 200], drum: 180 },
  prestissimo: { music21: 208, dial: [200, undefined], harmonie: [184, undefined] },
} as const satisfies Record<string, Partial<Record<"music21" | "dial" | "variant" | "harmonie" | "drum", Figure>>>;
export type PublishedTerm = keyof typeof PUBLISHED;

/** A word of the tempo or of its character. */
export interface TempoRow {
  readonly words: readonly string[];
  /** The terms of `PUBLISHED` whose figures it has; none where it is no tempo by itself. */
  readonly as?: readonly PublishedTerm[];
  /** A published figure of its own for `typical`, beats a minute. */
  readonly single?: number;
  /** From memory, where nothing is published: lowest, typical and highest, beats a minute. */
  readonly memory?: readonly [number, number, number];
  /** The term whose figures hold with "very" (molto, sehr, très) or "rather" (poco, etwas, assez). */
  readonly very?: PublishedTerm;
  readonly rather?: PublishedTerm;
  /**
   * What it does to the tempo word it stands with ("Andante con moto"), as a factor. Assumption. Two
   * words without it are mixed.
   */
  readonly aside?: number;
  /** What "più" before it means, where the figures do not tell. */
  readonly bearing?: Direction;
  /** A dance or march, which leads when it stands with a tempo word ("Valse lente"). */
  readonly dance?: true;
  /** An expression more often than a tempo: the latter only with a capital ("Tranquillo"). */
  readonly capital?: true;
}

/**
 * German, French and English words, and Italian ones without figures, are from memory: mapped to the
 * Italian word of the same meaning. `single` is from music21, as above; `aside` common practice, no source.
 */
// prettier-ignore
export const TEMPO_ROWS: readonly TempoRow[] = [
  ...(["larghissimo", "grave", "largo", "larghetto", "lento", "adagietto", "andantino", "marcia moderato",
    "andante moderato", "allegretto", "allegro moderato", "allegrissimo", "presto", "prestissimo"] as const).map((word) => ({ words: [word], as: [word] })),
  { words: ["adagio"], as: ["adagio"], very: "molto adagio" },
  { words: ["lentissimo"], as: ["grave"] },
  { words: ["adagissimo"], as: ["molto adagio"] },
  { words: ["andante", "andte.", "gehend"], as: ["andante"], bearing: "faster" },
  { words: ["moderato", "modto.", "moderatamente", "mäßig", "mäßige", "mäßiges", "gemessen", "modéré", "modérée", "modérément", "moderate", "moderately"], as: ["moderato"], bearing: "slower" },
  { words: ["allto."], as: ["allegretto"] },
  { words: ["allegro", "allo."], as: ["allegro"], very: "molto allegro" },
  { words: ["allegro vivace", "allegro vivo"], as: ["allegro vivace"] },
  { words: ["vivace", "vivo"], as: ["vivace"] },
  { words: ["vivacissimo", "vivissimo"], as: ["vivacissimo"] },
  { words: ["il più presto possibile", "più presto possibile", "presto possibile", "so schnell wie möglich", "so rasch wie möglich", "le plus vite possible", "aussi vite que possible", "as fast as possible"], as: ["prestissimo"] },
  { words: ["maestoso"], as: ["maestoso"], aside: 0.95 },
  { words: ["largamente"], as: ["largamente"], aside: 0.93 },
  { words: ["animato"], as: ["animato"], aside: 1.05 },
  { words: ["con moto", "mosso", "bewegt", "bewegte", "mit bewegung", "fließend", "allant", "mouvementé", "avec mouvement", "with motion"], as: ["andantino", "allegretto"], rather: "andantino", very: "allegro", aside: 1.08 },
  { words: ["ruhig", "ruhige", "ruhiges"], as: ["adagietto"], aside: 0.93 },
  { words: ["tranquillo", "tranquille", "calmo", "calme"], as: ["adagietto"], aside: 0.93, capital: true },
  { words: ["sostenuto"], as: ["adagio", "andante"], aside: 0.93, capital: true },
  { words: ["comodo", "commodo"], as: ["andantino"], aside: 0.97, capital: true },
  { words: ["agitato", "agité"], as: ["allegro"], aside: 1.05, capital: true },
  { words: ["tempo giusto", "tempo ordinario"], as: ["moderato"], aside: 1 },

  { words: ["langsam", "langsame", "langsames", "langsamen"], as: ["lento", "adagio"], single: 56, very: "largo" },
  { words: ["breit", "large", "largement", "broad", "broadly"], as: ["largo"] },
  { words: ["getragen"], as: ["adagio"], aside: 0.95 },
  { words: ["gemächlich"], as: ["andantino"], aside: 0.97 },
  { words: ["lebhaft", "lebhafte", "lebhaftes"], as: ["allegro", "vivace"] },
  { words: ["rasch", "rasche", "rasches"], as: ["allegro", "presto"] },
  { words: ["schnell", "schnelle", "schnelles"], as: ["allegro", "presto"], single: 132, very: "presto" },
  { words: ["lent", "lente", "lentement"], as: ["lento"], very: "largo", rather: "andante" },
  { words: ["animé", "animée"], as: ["allegro"], rather: "allegretto" },
  { words: ["vif", "vive", "vivement"], as: ["vivace"], very: "presto" },
  { words: ["vite"], as: ["allegro"], very: "très vite" },
  { words: ["rapide", "rapidement", "rapid", "rapidly"], as: ["presto"] },
  { words: ["slow", "slowly"], as: ["adagio"], single: 56, very: "largo" },
  { words: ["fast"], as: ["allegro"], single: 132, very: "presto" },
  { words: ["quick", "quickly", "brisk", "briskly", "flott", "frisch", "munter"], as: ["allegro"] },
  { words: ["lively"], as: ["vivace"] },

  { words: ["marcia", "marche", "marsch", "marschtempo", "march tempo"], memory: [84, 112, 126], dance: true },
  { words: ["marcia funebre", "marche funèbre", "trauermarsch"], memory: [44, 54, 66], dance: true },
  { words: ["valse", "valzer", "walzer", "walzertempo", "waltz"], memory: [120, 160, 200], dance: true },
  { words: ["menuetto", "minuetto", "menuet", "menuett", "minuet"], memory: [96, 116, 144], dance: true },

  { words: ["pesante", "schleppend", "soutenu", "calmato"], aside: 0.95 },
  { words: ["moto", "movimento", "bewegung", "motion", "movement"], aside: 1, bearing: "faster" },
  { words: ["con brio", "con fuoco", "con spirito", "con espressione", "con grazia", "con anima", "dolce", "espressivo",
    "espr.", "cantabile", "cant.", "grazioso", "giocoso", "energico", "appassionato", "passionato", "leggiero", "leggero", "legg.",
    "scherzando", "marcato", "marc.", "deciso", "risoluto", "brillante", "misterioso", "semplice", "solo", "tutti", "possibile",
    "cresc.", "crescendo", "dim.", "diminuendo", "decresc.", "léger", "gai", "expressif", "gracieux", "doux", "kräftig", "zart",
    "feurig", "leicht", "innig", "swing", "blues", "rock", "ballad"], aside: 1 },
];

/**
 * Words that are tempi only where no word that is not known here stands next to them: "ôtez vite la
 * sourdine", "slow vibrato", "nota lunga", "Triangle ad lib.".
 */
// prettier-ignore
export const FRAGILE_WORDS: readonly string[] = [
  "vite", "vif", "vive", "vivement", "rapide", "rapidement", "rapid", "rapidly", "large", "largement", "breit", "broad",
  "broadly", "slow", "slowly", "fast", "faster", "quick", "quickly", "brisk", "briskly", "lively", "moderate", "schnell",
  "schnelle", "rasch", "rasche", "langsam", "langsame", "langsames", "langsamen", "frisch", "flott", "munter", "presto", "ruhig", "ruhige",
  "waltz", "marche", "marsch", "ad lib.", "ad libitum", "lunga", "silence", "string.", "serré", "pressé", "retard.", "freely",
];
/** "string." is stringendo; with a capital or without the full stop the strings are meant. */
export const DOTTED_ONLY: readonly string[] = ["string"];
/** English only at the end of a clause; before another word it is German for "almost". */
export const CLAUSE_END_ONLY: readonly string[] = ["fast"];

/** Immediate changes. Held words are steps in themselves, comparatives become gradual with "immer". */
// prettier-ignore
export const HELD_STEPS: Readonly<Record<Direction, readonly string[]>> = {
  slower: ["ritenuto", "riten.", "ritenu", "trattenuto", "retenu", "held back", "zurückgehalten", "moins de mouvement"],
  faster: ["stretto", "serré", "pressé", "plus de mouvement"],
};
// prettier-ignore
export const COMPARATIVES: Readonly<Record<Direction, readonly string[]>> = {
  slower: ["langsamer", "langsameres", "breiter", "ruhiger", "mäßiger", "getragener", "gemächlicher", "gedehnter", "gehaltener", "slower", "broader", "calmer"],
  faster: ["schneller", "schnelleres", "bewegter", "lebhafter", "rascher", "fließender", "belebter", "flotter", "frischer", "eiliger", "zügiger", "faster", "quicker", "livelier"],
};

/** Steps by an exact factor of the tempo. */
// prettier-ignore
export const EXACT_STEPS: readonly (readonly [number, readonly string[]])[] = [
  [2, ["doppio movimento", "doppio tempo", "doppio più mosso", "doppio più presto", "doppio più vivo", "doppio più veloce",
    "doppelt so schnell", "noch einmal so schnell", "doppeltes tempo", "doppeltes zeitmaß", "deux fois plus vite", "le double plus vite", "double plus vite",
    "double mouvement", "mouvement double", "twice as fast", "double tempo", "double time"]],
  [0.5, ["doppio più lento", "doppio meno mosso", "doppio valore", "doppelt so langsam", "noch einmal so langsam", "halb so schnell", "halbes tempo",
    "halbes zeitmaß", "deux fois plus lent", "deux fois moins vite", "le double plus lent", "double plus lent", "twice as slow", "half as fast", "half tempo"]],
];

/** `fading`: first of all softer, and perhaps slower. */
// prettier-ignore
export const GRADUAL_WORDS: Readonly<Record<Direction | "fading", readonly string[]>> = {
  slower: ["rit.", "ritard.", "ritar.", "ritardando", "ritardare", "retard.", "rall.", "rallent.", "rallentando", "rallentare",
    "allarg.", "allargando", "allargare", "slargando", "largando", "slentando", "slent.", "allentando", "tardando", "trattenendo", "ritenendo",
    "zurückhaltend", "zurückhalten", "verlangsamend", "verbreiternd", "nachlassend", "zögernd",
    "cédez", "céder", "cédant", "ralentir", "ralentissez", "ralentissant", "retenant", "retenez", "retenir", "élargissant",
    "élargissez", "élargir", "retardant", "slow down", "slowing", "slowing down", "hold back", "holding back", "broadening",
    "slower and slower"],
  faster: ["accel.", "acceler.", "accelerando", "accelerare", "string.", "stringendo", "affrett.", "affr.", "affrettando", "affrettare",
    "animando", "incalzando", "precipitando", "beschleunigend", "beschleunigen", "drängend", "vorwärts drängend",
    "vorwärtsdrängend", "eilend", "eilen", "belebend", "animant", "animez", "animer", "pressant", "pressez", "presser", "serrez",
    "serrant", "serrer", "accélérez", "accélérant", "accélérer", "hâtez", "speed up", "speeding up", "hurrying", "pressing forward", "faster and faster"],
  fading: ["calando", "morendo", "smorzando", "smorz.", "smor.", "perdendosi", "perdendo", "perd.", "perdend."],
};

/** `to`: the last steady tempo, or the first of the movement. */
// prettier-ignore
export const RETURNS: Readonly<Record<"before" | "first", readonly string[]>> = {
  before: ["a tempo", "in tempo", "im tempo", "au mouvement", "im zeitmaß", "tempo wie vorher", "tempo wie zuvor",
    "zeitmaß wie vorher", "voriges tempo", "voriges zeitmaß", "im vorigen tempo", "im vorigen zeitmaß", "mouvement précédent", "tempo precedente", "a battuta", "en mesure"],
  first: ["tempo primo", "tempo i", "tempo imo", "tempo i mo", "tempo 1", "primo tempo", "i tempo", "1 tempo", "a tempo primo", "a tempo i",
    "in tempo primo", "in tempo i", "im tempo i", "tempo come prima", "tempo di prima", "tempo originale", "tempo iniziale",
    "1 mouvement", "premier mouvement", "ier mouvement", "au 1 mouvement", "au premier mouvement", "premier tempo", "mouvement initial",
    "mouvement du début", "au mouvement du début", "tempo initial", "tempo du début", "erstes zeitmaß", "1 zeitmaß", "erstes tempo", "hauptzeitmaß", "im hauptzeitmaß",
    "haupttempo", "im ersten zeitmaß", "im ersten tempo", "anfangstempo", "tempo des anfangs", "first tempo", "original tempo"],
};
/** These say "back to it" only where they are the whole of a clause: "rit. - - - Tempo". */
export const LONE_RETURNS: readonly string[] = ["tempo", "mouvement"];

// prettier-ignore
export const PLAIN_TERMS: Readonly<Record<"same-beat" | "free" | "pause" | "alla-breve", readonly string[]>> = {
  "same-beat": ["istesso tempo", "stesso tempo", "istesso movimento", "stesso movimento", "medesimo tempo", "istesso",
    "même mouvement", "même tempo", "dasselbe tempo", "dasselbe zeitmaß", "das gleiche tempo", "gleiches tempo", "gleiches zeitmaß", "im selben tempo",
    "im gleichen tempo", "im gleichen zeitmaß", "same tempo"],
  free: ["rubato", "tempo rubato", "a tempo rubato", "ad libitum", "ad lib.", "a piacere", "senza tempo", "senza misura", "sans mesure", "cadenza",
    "recitativo", "recit.", "récitatif", "rezitativ", "liberamente", "librement", "freely", "frei im tempo", "frei im zeitmaß", "colla parte", "colla voce", "col canto"],
  pause: ["g p.", "gp", "general pause", "generalpause", "grand pause", "lunga", "lunga pausa", "pausa lunga", "long pause", "silence"],
  "alla-breve": ["alla breve", "à la breve", "cut time"],
};

/** Spellings of one word, folded. */
export const WORD_ALIASES: Readonly<Record<string, string>> = {
  mouvt: "mouvement",
  mouv: "mouvement",
  mvt: "mouvement",
  zeitmasse: "zeitmass",
  zeitmaass: "zeitmass",
};

/**
 * What is said of the word after it, or before it at the end of a clause. `goal` is where a
 * gradual change leads; `elsewhere` means that what follows is not to be done here ("senza rit.",
 * "attacca il Presto").
 */
// prettier-ignore
export const MODIFIERS = {
  more: ["più", "plus", "more", "mehr"],
  less: ["meno", "moins", "less", "weniger", "nicht so", "nicht mehr so", "pas si", "not so", "not as"],
  evermore: ["de plus en plus", "più e più", "more and more", "immer mehr"],
  everless: ["de moins en moins", "less and less"],
  strong: ["molto", "assai", "di molto", "sehr", "viel", "ganz", "äußerst", "bedeutend", "möglichst", "très", "beaucoup",
    "extrêmement", "very", "much", "extremely", "considerably"],
  weak: ["poco", "un poco", "un po", "pochiss.", "pochissimo", "pochettino", "un pochettino", "un pochino", "alquanto", "molto poco", "etwas", "wenig",
    "ein wenig", "ein klein wenig", "ein bisschen", "ziemlich", "sehr wenig", "peu", "un peu", "très peu", "légèrement", "assez",
    "à peine", "a little", "a bit", "slightly", "somewhat", "rather", "quite"],
  tempering: ["non troppo", "non tanto", "non molto", "non assai", "nicht zu", "nicht zu sehr", "nicht allzu", "nicht allzu sehr", "nicht sehr", "pas trop", "pas très", "sans trop",
    "sans excès", "not too", "not too much", "not very"],
  negated: ["non", "nicht", "kein", "keine", "pas", "ne", "ni", "not", "no", "never", "jamais", "niente", "don t"],
  elsewhere: ["senza", "sans", "ohne", "without", "attacca", "attacca il", "attacca subito", "attacca subito il", "segue", "segue il"],
  gradually: ["poco a poco", "a poco a poco", "gradatamente", "gradualmente", "man mano", "nach und nach", "allmählich", "allmälig",
    "peu à peu", "progressivement", "gradually", "little by little", "bit by bit", "getting", "becoming"],
  always: ["sempre", "immer", "toujours", "always", "ever"],
  becoming: ["werdend", "werden"],
  goal: ["al", "alla", "all", "fino al", "fino a", "bis", "bis zum", "zum", "jusqu", "jusqu au", "until", "into", "to"],
} as const satisfies Record<string, readonly string[]>;
export type Modifier = keyof typeof MODIFIERS;

/** Words between others. `of`: before it "tempo" is no return ("tempo di valse"). */
// prettier-ignore
export const LINKS = {
  and: ["e", "ed", "et", "und", "u", "and", "o", "od", "oder", "ou", "or", "nor"],
  but: ["ma", "mais", "aber", "doch", "jedoch", "but", "però"],
  of: ["di", "d", "de", "del", "della", "dell", "des", "du", "der", "eines", "einer", "of"],
  other: ["con", "mit", "avec", "with", "a", "en", "s", "un", "ein", "subito", "sub.", "ancora", "noch", "encore", "still", "wieder", "again",
    "quasi", "piuttosto", "più tosto", "plötzlich", "zu", "poi", "dann", "puis", "then", "m m", "mm", "ca.", "circa", "env.", "l", "lo", "zeitmaß"],
} as const satisfies Record<string, readonly string[]>;
export type Link = keyof typeof LINKS;

/** The same change, as asked for "poco", plainly, and "molto". */
export type Degrees = readonly [weak: TempoRange, plain: TempoRange, strong: TempoRange];

const factors = (slow: number, likely: number, fast: number): TempoRange => ({
  slow,
  likely,
  fast,
});

/** Immediate changes, as factors of the tempo before. Assumptions (common practice, no source). */
export const STEP_FACTORS: Readonly<Record<Direction, Degrees>> = {
  slower: [factors(0.9, 0.925, 0.95), factors(0.8, 0.85, 0.9), factors(0.65, 0.73, 0.8)],
  faster: [factors(1.05, 1.075, 1.1), factors(1.1, 1.15, 1.2), factors(1.2, 1.27, 1.35)],
};

/**
 * How far a gradual change without a goal goes, as factors of the tempo at its start. Assumptions
 * (common practice, no source).
 */
export const GRADUAL_FACTORS: Readonly<Record<Direction | "fading", Degrees>> = {
  slower: [factors(0.75, 0.87, 0.95), factors(0.5, 0.75, 0.9), factors(0.4, 0.6, 0.8)],
  faster: [factors(1.05, 1.12, 1.25), factors(1.1, 1.25, 1.5), factors(1.2, 1.4, 1.8)],
  fading: [factors(0.75, 0.92, 1), factors(0.6, 0.85, 1), factors(0.5, 0.8, 1)],
};

/** "Very" moves a tempo word by this factor away from moderate, where the tables do not tell. Assumption. */
export const VERY = 1.1;
/** "Non troppo", "poco" and the like move it by this factor towards moderate, not past it. Assumption. */
export const TOWARDS_MODERATE = 0.9;
/** The share of the first of two tempo words that are mixed ("Andante quasi allegretto"). Assumption. */
export const FIRST_WORD_SHARE = 2 / 3;
