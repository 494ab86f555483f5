import type { Language } from "./names-data.js";

/**
 * What may stand for X in a pattern: a key or an instrument, only one of the two, or (`sure-key`)
 * an instrument or a key that no rehearsal letter can be taken for: one with an accidental, or A.
 */
export type TargetKind = "any" | "key" | "name" | "sure-key";

/** A way of asking for a change of instrument. */
export interface ChangeRow {
  readonly language: Language;
  /** Words around the target X, folded as in tokens.ts; Y is the instrument that is left. */
  readonly pattern: string;
  /** Printed where the rest begins ("prepare"), or at the first note ("label"). */
  readonly verb: "prepare" | "label";
  readonly target: TargetKind;
  /** Whether the words mean a change even where the target is not understood. */
  readonly asks: boolean;
  /** Whether they mean one even with nothing after them: "muta", but not "take". */
  readonly alone?: true;
  readonly source: string;
}

// Observed in public score files: a MusicXML encoding of a late-19th-century symphony
// (mctl-symphony-dataset, folder dv2: "Muta in B", "muta in A", "IV. muta in E") and LilyPond
// engravings ("muta in Flauto piccolo", "muta in Fl.II.", "to bass clarinet").
const OBSERVED = "observed in public score files";
const CP = "common practice, no source";
const MEMORY = "from memory";

/** Add a way of asking by adding a row. The longest pattern that fits decides. */
// prettier-ignore
export const CHANGE_ROWS: readonly ChangeRow[] = [
  { language: "it", pattern: "muta in X", verb: "prepare", target: "any", asks: true, alone: true, source: OBSERVED },
  { language: "it", pattern: "muta subito in X", verb: "prepare", target: "any", asks: true, alone: true, source: CP },
  { language: "it", pattern: "muta X", verb: "prepare", target: "name", asks: true, alone: true, source: CP },
  { language: "it", pattern: "muta Y in X", verb: "prepare", target: "any", asks: true, source: CP },
  { language: "it", pattern: "muta da Y in X", verb: "prepare", target: "any", asks: true, source: CP },
  { language: "it", pattern: "muta da Y a X", verb: "prepare", target: "any", asks: true, source: CP },
  { language: "it", pattern: "muti in X", verb: "prepare", target: "any", asks: true, source: CP },
  { language: "it", pattern: "mutano in X", verb: "prepare", target: "any", asks: true, alone: true, source: CP },
  { language: "it", pattern: "mutare in X", verb: "prepare", target: "any", asks: true, alone: true, source: CP },
  { language: "it", pattern: "cambia in X", verb: "prepare", target: "any", asks: true, source: CP },
  { language: "it", pattern: "cambiano in X", verb: "prepare", target: "any", asks: true, source: CP },
  { language: "it", pattern: "cambiare in X", verb: "prepare", target: "any", asks: true, source: CP },
  { language: "it", pattern: "prendere X", verb: "prepare", target: "any", asks: true, source: CP },
  { language: "it", pattern: "prende X", verb: "prepare", target: "any", asks: true, source: CP },
  { language: "it", pattern: "prendono X", verb: "prepare", target: "any", asks: true, source: CP },
  { language: "it", pattern: "passa X", verb: "prepare", target: "any", asks: false, source: CP },
  { language: "it", pattern: "torna X", verb: "prepare", target: "any", asks: false, source: CP },
  { language: "it", pattern: "tornano X", verb: "prepare", target: "any", asks: false, source: CP },
  { language: "it", pattern: "ritorna X", verb: "prepare", target: "any", asks: false, source: CP },
  { language: "it", pattern: "riprende X", verb: "prepare", target: "name", asks: false, source: CP },
  { language: "it", pattern: "X di nuovo", verb: "label", target: "name", asks: false, source: CP },
  { language: "it", pattern: "cambia strumento X", verb: "prepare", target: "any", asks: true, alone: true, source: CP },
  { language: "it", pattern: "cambiare strumento X", verb: "prepare", target: "any", asks: true, alone: true, source: CP },
  { language: "it", pattern: "di nuovo X", verb: "label", target: "name", asks: false, source: CP },
  { language: "it", pattern: "in X", verb: "label", target: "key", asks: false, source: CP },

  { language: "de", pattern: "instrument wechseln X", verb: "prepare", target: "any", asks: true, alone: true, source: CP },
  { language: "de", pattern: "instrumentenwechsel X", verb: "prepare", target: "any", asks: true, alone: true, source: CP },
  { language: "de", pattern: "nimmt X", verb: "prepare", target: "any", asks: true, source: CP },
  { language: "de", pattern: "nehmen X", verb: "prepare", target: "any", asks: true, source: CP },
  { language: "de", pattern: "X nehmen", verb: "prepare", target: "name", asks: true, source: CP },
  { language: "de", pattern: "nach X umstimmen", verb: "prepare", target: "any", asks: true, source: CP },
  { language: "de", pattern: "wechselt zu X", verb: "prepare", target: "any", asks: true, source: CP },
  { language: "de", pattern: "wechselt zur X", verb: "prepare", target: "name", asks: true, source: CP },
  { language: "de", pattern: "wechselt zum X", verb: "prepare", target: "name", asks: true, source: CP },
  { language: "de", pattern: "wechselt nach X", verb: "prepare", target: "any", asks: true, source: CP },
  { language: "de", pattern: "wechselt in X", verb: "prepare", target: "any", asks: true, source: CP },
  { language: "de", pattern: "wechselt auf X", verb: "prepare", target: "any", asks: true, source: CP },
  { language: "de", pattern: "wechselt von Y nach X", verb: "prepare", target: "any", asks: true, source: CP },
  { language: "de", pattern: "wechselt von Y zu X", verb: "prepare", target: "any", asks: true, source: CP },
  { language: "de", pattern: "wechseln nach X", verb: "prepare", target: "any", asks: true, source: CP },
  { language: "de", pattern: "wechseln zu X", verb: "prepare", target: "any", asks: true, source: CP },
  { language: "de", pattern: "wechseln in X", verb: "prepare", target: "any", asks: true, source: CP },
  { language: "de", pattern: "nach X wechseln", verb: "prepare", target: "any", asks: true, source: CP },
  { language: "de", pattern: "zur X wechseln", verb: "prepare", target: "name", asks: true, source: CP },
  { language: "de", pattern: "zu X wechseln", verb: "prepare", target: "name", asks: true, source: CP },
  { language: "de", pattern: "auf X wechseln", verb: "prepare", target: "any", asks: true, source: CP },
  { language: "de", pattern: "zuruck zu X", verb: "prepare", target: "any", asks: false, source: CP },
  { language: "de", pattern: "zuruck zur X", verb: "prepare", target: "name", asks: false, source: CP },
  { language: "de", pattern: "zuruck zum X", verb: "prepare", target: "name", asks: false, source: CP },
  { language: "de", pattern: "zuruck nach X", verb: "prepare", target: "any", asks: false, source: CP },
  { language: "de", pattern: "zuruck in X", verb: "prepare", target: "any", asks: false, source: CP },
  { language: "de", pattern: "wieder X", verb: "label", target: "name", asks: false, source: CP },
  { language: "de", pattern: "wechsel auf X", verb: "prepare", target: "any", asks: true, source: CP },
  { language: "de", pattern: "wechsel in X", verb: "prepare", target: "any", asks: true, source: CP },
  { language: "de", pattern: "wechsel nach X", verb: "prepare", target: "any", asks: true, source: CP },
  { language: "de", pattern: "wechsel zu X", verb: "prepare", target: "any", asks: true, source: CP },
  { language: "de", pattern: "wechsel zur X", verb: "prepare", target: "name", asks: true, source: CP },
  { language: "de", pattern: "zur X", verb: "prepare", target: "name", asks: false, source: CP },
  { language: "de", pattern: "zum X", verb: "prepare", target: "name", asks: false, source: CP },
  { language: "de", pattern: "zuletzt auch X", verb: "prepare", target: "name", asks: false, source: CP },

  { language: "fr", pattern: "changez d instrument X", verb: "prepare", target: "any", asks: true, alone: true, source: CP },
  { language: "fr", pattern: "changer d instrument X", verb: "prepare", target: "any", asks: true, alone: true, source: CP },
  { language: "fr", pattern: "changez en X", verb: "prepare", target: "any", asks: true, source: CP },
  { language: "fr", pattern: "changer en X", verb: "prepare", target: "any", asks: true, source: CP },
  { language: "fr", pattern: "changent en X", verb: "prepare", target: "any", asks: true, source: CP },
  { language: "fr", pattern: "change en X", verb: "prepare", target: "any", asks: true, source: CP },
  { language: "fr", pattern: "changez de Y en X", verb: "prepare", target: "any", asks: true, source: CP },
  { language: "fr", pattern: "change pour X", verb: "prepare", target: "any", asks: true, source: CP },
  { language: "fr", pattern: "changer pour X", verb: "prepare", target: "any", asks: true, source: CP },
  { language: "fr", pattern: "changez pour X", verb: "prepare", target: "any", asks: true, source: CP },
  { language: "fr", pattern: "prenez X", verb: "prepare", target: "any", asks: true, source: CP },
  { language: "fr", pattern: "prendre X", verb: "prepare", target: "any", asks: true, source: CP },
  { language: "fr", pattern: "prend X", verb: "prepare", target: "any", asks: true, source: CP },
  { language: "fr", pattern: "prennent X", verb: "prepare", target: "any", asks: true, source: CP },
  { language: "fr", pattern: "reprenez X", verb: "prepare", target: "any", asks: true, source: CP },
  { language: "fr", pattern: "reprendre X", verb: "prepare", target: "name", asks: false, source: CP },
  { language: "fr", pattern: "reprend X", verb: "prepare", target: "name", asks: false, source: CP },
  { language: "fr", pattern: "reprennent X", verb: "prepare", target: "name", asks: false, source: CP },
  { language: "fr", pattern: "passez a X", verb: "prepare", target: "name", asks: false, source: CP },
  { language: "fr", pattern: "passe a X", verb: "prepare", target: "name", asks: false, source: CP },
  { language: "fr", pattern: "revenez a X", verb: "prepare", target: "name", asks: false, source: CP },
  { language: "fr", pattern: "retour a X", verb: "prepare", target: "name", asks: false, source: CP },
  { language: "fr", pattern: "retour en X", verb: "prepare", target: "key", asks: false, source: CP },
  { language: "fr", pattern: "de nouveau X", verb: "label", target: "name", asks: false, source: CP },
  { language: "fr", pattern: "mettez en X", verb: "prepare", target: "any", asks: false, source: CP },
  { language: "fr", pattern: "en X", verb: "label", target: "key", asks: false, source: CP },

  { language: "en", pattern: "change instrument X", verb: "prepare", target: "any", asks: true, alone: true, source: CP },
  { language: "en", pattern: "change instrument to X", verb: "prepare", target: "any", asks: true, alone: true, source: CP },
  { language: "en", pattern: "change instruments X", verb: "prepare", target: "any", asks: true, alone: true, source: CP },
  { language: "en", pattern: "change clarinet X", verb: "prepare", target: "any", asks: true, alone: true, source: CP },
  { language: "en", pattern: "change clarinets X", verb: "prepare", target: "any", asks: true, alone: true, source: CP },
  { language: "en", pattern: "take X", verb: "prepare", target: "any", asks: true, source: CP },
  { language: "en", pattern: "takes X", verb: "prepare", target: "any", asks: true, source: CP },
  { language: "en", pattern: "to X", verb: "prepare", target: "sure-key", asks: false, source: OBSERVED },
  { language: "en", pattern: "change to X", verb: "prepare", target: "any", asks: true, source: CP },
  { language: "en", pattern: "changes to X", verb: "prepare", target: "any", asks: true, source: CP },
  { language: "en", pattern: "change from Y to X", verb: "prepare", target: "any", asks: true, source: CP },
  { language: "en", pattern: "from Y to X", verb: "prepare", target: "sure-key", asks: false, source: CP },
  { language: "en", pattern: "change back to X", verb: "prepare", target: "any", asks: true, source: CP },
  { language: "en", pattern: "switch back to X", verb: "prepare", target: "any", asks: true, source: CP },
  { language: "en", pattern: "switches to X", verb: "prepare", target: "any", asks: true, source: CP },
  { language: "en", pattern: "switch to X", verb: "prepare", target: "any", asks: true, source: CP },
  { language: "en", pattern: "back to X", verb: "prepare", target: "sure-key", asks: false, source: CP },
  { language: "en", pattern: "return to X", verb: "prepare", target: "sure-key", asks: false, source: CP },
  { language: "en", pattern: "returns to X", verb: "prepare", target: "sure-key", asks: false, source: CP },
  { language: "en", pattern: "pick up X", verb: "prepare", target: "name", asks: false, source: CP },
  { language: "en", pattern: "use X", verb: "prepare", target: "name", asks: false, source: CP },
  { language: "en", pattern: "X again", verb: "label", target: "name", asks: false, source: CP },
  { language: "en", pattern: "again X", verb: "label", target: "name", asks: false, source: CP },

  { language: "es", pattern: "cambia a X", verb: "prepare", target: "any", asks: true, source: CP },
  { language: "es", pattern: "cambiar a X", verb: "prepare", target: "any", asks: true, source: CP },
  { language: "es", pattern: "muta en X", verb: "prepare", target: "any", asks: true, alone: true, source: CP },
  { language: "es", pattern: "mutan en X", verb: "prepare", target: "any", asks: true, alone: true, source: CP },
  { language: "es", pattern: "cambian a X", verb: "prepare", target: "any", asks: true, source: CP },
  { language: "es", pattern: "toma X", verb: "prepare", target: "name", asks: true, source: CP },
  { language: "es", pattern: "tomar X", verb: "prepare", target: "name", asks: true, source: CP },
  { language: "es", pattern: "pasa X", verb: "prepare", target: "name", asks: false, source: CP },
  { language: "es", pattern: "vuelve a X", verb: "prepare", target: "name", asks: false, source: CP },
  { language: "es", pattern: "vuelve al X", verb: "prepare", target: "name", asks: false, source: CP },
  { language: "es", pattern: "de nuevo X", verb: "label", target: "name", asks: false, source: CP },

  { language: "ru", pattern: "meniaet na X", verb: "prepare", target: "any", asks: true, source: MEMORY },
  { language: "ru", pattern: "vziat X", verb: "prepare", target: "name", asks: true, source: MEMORY },
];

/** Articles before a target. "La" may also be the target: that is tried first. */
// prettier-ignore
export const ARTICLES: ReadonlySet<string> = new Set([
  "the", "an", "il", "lo", "la", "le", "l", "les", "un", "uno", "una", "une", "der", "die", "das", "den", "dem",
  "ein", "eine", "einen", "el", "los", "las",
  "your", "al", "alla", "allo", "all", "ai", "agli", "alle", "au", "aux",
]);

/** Small words that may stand before or after a target, and before a verb. */
// prettier-ignore
export const ADVERBS: ReadonlySet<string> = new Set([
  "subito", "poi", "ora", "nun", "wieder", "hier", "dann", "sofort", "now", "then", "again", "here", "puis", "ici",
  "both", "beide", "tutti", "tutte", "luego", "ahora",
]);

/** Sizes that several instruments come in: alone they leave open which is meant. */
export const HALF_NAMES: ReadonlySet<string> = new Set([
  "alto", "tenor", "bari", "baritone", "soprano", "contra", "bass", "basso",
]); // prettier-ignore

/** A word after a verb that shows another meaning. */
export interface LookAlikeRow {
  readonly language: Language;
  readonly words: readonly string[];
  /** A phrase it is met in. */
  readonly example: string;
  readonly source: string;
}

/** Add a false friend by adding a word or a row. */
// prettier-ignore
export const LOOK_ALIKE_ROWS: readonly LookAlikeRow[] = [
  { language: "it", words: ["sordina", "sordine", "sordino", "sordini", "sord"], example: "muta in sordina", source: CP },
  { language: "it", words: ["tempo", "tempi", "movimento", "misura"], example: "cambia il tempo", source: CP },
  { language: "it", words: ["fiato", "respiro", "arco", "corda", "archetto", "pizz", "pizzicato", "bacchette", "corde"], example: "prende fiato", source: CP },
  { language: "it", words: ["melodia", "tema", "canto", "voce", "carattere", "aria", "posizione"], example: "prende la melodia", source: CP },
  { language: "it", words: ["coda", "segno", "fine", "volta"], example: "to Coda", source: CP },
  { language: "de", words: ["zu", "ab"], example: "nimmt zu", source: CP },
  { language: "de", words: ["melodie", "thema", "platz", "anteil", "kraft", "fuhrung", "saite", "saiten", "lage"], example: "nimmt die Melodie auf", source: CP },
  { language: "de", words: ["dampfer", "bogen", "schlagel", "atem", "zeit", "zeitmass", "takt", "ruhe"], example: "nehmen Dämpfer", source: CP },
  { language: "fr", words: ["temps", "mouvement", "mouv", "mesure"], example: "prenez le temps", source: CP },
  { language: "fr", words: ["ampleur", "fin", "elan", "theme", "chant", "melodie", "relais", "registre", "debut", "haut", "vie", "souffle"], example: "prend de l'ampleur", source: CP },
  { language: "fr", words: ["sourdine", "sourdines", "sourd", "archet", "baguettes"], example: "prenez la sourdine", source: CP },
  { language: "en", words: ["time", "breath", "breaths", "breathe", "it", "care", "over", "off", "out", "up", "down", "away", "notice", "note"], example: "take your time", source: CP },
  { language: "en", words: ["break", "five", "ten", "train", "melody", "theme", "tune", "chorus", "pause", "part", "hand", "heart", "position", "pedal", "applause"], example: "take a break", source: CP },
  { language: "en", words: ["mute", "mutes", "muted", "bow", "bows", "sticks", "mallets", "mallet", "brushes", "reed", "stand", "seat"], example: "take mute off", source: CP },
  { language: "en", words: ["repeat", "repeats", "ending", "endings", "cue", "cues", "lead", "place", "page", "pages", "turn", "tempo", "key", "meter"], example: "take the repeat", source: CP },
  { language: "es", words: ["tiempo", "compas", "sordinas", "aire"], example: "cambia a compás 3/4", source: CP },
];

/** Words that turn an instruction round: "do not change to A". */
export const NEGATIONS: ReadonlySet<string> = new Set([
  "not",
  "non",
  "nicht",
  "pas",
  "don",
  "no",
  "senza",
  "ohne",
  "sans",
  "without",
]);

/** Words before an instrument that may be played instead. */
export const OPTION_WORDS: ReadonlySet<string> = new Set(["opt", "optional", "optionally"]);
