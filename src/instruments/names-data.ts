import type { InstrumentKind } from "./kinds.js";

/** Languages of part names and instructions that are read; Russian ("ru") is transliterated. */
export type Language = "en" | "it" | "de" | "fr" | "es" | "ru";

/**
 * Names of one kind of instrument in one language. `full` names stand for the instrument wherever
 * they occur; `short` ones are abbreviations, trusted only where nothing unknown stands beside
 * them. Phrases are folded as in tokens.ts; a single letter's dot or hyphen matters.
 */
export interface NameRow {
  readonly kind: InstrumentKind;
  readonly language: Language;
  readonly full: readonly string[];
  readonly short: readonly string[];
  readonly source: string;
}

const M21 = "music21 instrumentLookup.py; abbreviations: common practice";
const EB = "Encyclopaedia Britannica 11th ed. (1911), Clarinet";
const BERLIOZ = "Berlioz, Grand traité d'instrumentation (1844), pp. 142-146";
const GROVE = "Grove, Dictionary of Music and Musicians I, p. 362";
const SOUNDS = "MusicXML 4.0 sounds.xml; abbreviations: common practice";
const CP = "common practice, no source";
const MEMORY = "from memory";

/** One row a kind, language and source. The first language of a shared name is kept. */
// prettier-ignore
export const NAME_ROWS: readonly NameRow[] = [
  { kind: "clarinet", language: "en", full: ["clarinet", "clarinets"], short: ["cl", "clar", "cls"], source: M21 },
  { kind: "clarinet", language: "en", full: ["clarionet", "clarionets"], short: [], source: EB },
  { kind: "clarinet", language: "fr", full: ["clarinette", "clarinettes"], short: ["clt", "clte", "cltes"], source: M21 },
  { kind: "clarinet", language: "de", full: ["klarinette", "klarinetten"], short: ["klar", "kl"], source: M21 },
  { kind: "clarinet", language: "de", full: ["klarinett", "clarinett", "clarinetten"], short: [], source: EB },
  { kind: "clarinet", language: "it", full: ["clarinetto", "clarinetti"], short: [], source: M21 },
  { kind: "clarinet", language: "it", full: ["chiarinetto", "chiarinetti"], short: [], source: EB },
  { kind: "clarinet", language: "es", full: ["clarinete", "clarinetes"], short: [], source: M21 },
  { kind: "clarinet", language: "ru", full: ["klarnet", "klarnety"], short: [], source: M21 },

  { kind: "small-clarinet", language: "en", full: ["small clarinet", "piccolo clarinet", "sopranino clarinet"], short: ["picc cl", "picc. cl", "picc clar", "picc clarinet"], source: CP },
  { kind: "small-clarinet", language: "de", full: ["kleine klarinette", "kl klarinette", "kleine clarinette"], short: ["kl klar", "kl kl", "kl cl", "kl clar"], source: CP },
  { kind: "small-clarinet", language: "fr", full: ["petite clarinette", "petites clarinettes", "pte clarinette"], short: ["petite cl", "petite clar", "pte cl", "pte clar", "p. cl", "p. clar", "p cl"], source: BERLIOZ },
  { kind: "small-clarinet", language: "it", full: ["clarinetto piccolo", "clarinetti piccoli", "piccolo clarinetto"], short: ["cl picc", "clar picc", "cl piccolo", "clar piccolo"], source: CP },
  { kind: "small-clarinet", language: "it", full: ["quartino"], short: [], source: MEMORY },
  { kind: "small-clarinet", language: "es", full: ["requinto"], short: [], source: MEMORY },
  { kind: "small-clarinet", language: "ru", full: ["malyi klarnet"], short: [], source: CP },

  // "B Cl" is what scores abbreviate "Bass Clarinet" to; "B-Cl." and "B Clar." are in B-flat.
  { kind: "bass-clarinet", language: "en", full: ["bass clarinet", "bass clarinets"], short: ["bass cl", "bass clar", "b. cl", "b cl", "bcl", "bs cl", "bs clar", "b. clar"], source: M21 },
  { kind: "bass-clarinet", language: "de", full: ["bassklarinette", "bassklarinetten", "bassclarinette", "bass klarinette", "bass clarinette"], short: ["bassklar", "basskl", "bassclar", "bass klar", "bass kl", "bkl", "bklar", "b. kl", "b. klar"], source: M21 },
  { kind: "bass-clarinet", language: "fr", full: ["clarinette basse", "clarinettes basses"], short: ["cl basse", "clar basse", "cl b."], source: M21 },
  { kind: "bass-clarinet", language: "it", full: ["clarinetto basso", "clarinetti bassi"], short: ["cl basso", "clar basso", "clar b."], source: M21 },
  { kind: "bass-clarinet", language: "it", full: ["clarone", "claroni"], short: [], source: MEMORY },
  { kind: "bass-clarinet", language: "es", full: ["clarinete bajo"], short: ["cl bajo", "clar bajo"], source: M21 },
  { kind: "bass-clarinet", language: "ru", full: ["bas klarnet", "bass klarnet"], short: [], source: M21 },

  // "A. Cl." is left out: in an orchestra it is the A clarinet.
  { kind: "alto-clarinet", language: "en", full: ["alto clarinet"], short: ["alto cl", "alto clar"], source: SOUNDS },
  { kind: "alto-clarinet", language: "de", full: ["altklarinette", "alt klarinette"], short: ["altkl", "altklar"], source: CP },
  { kind: "alto-clarinet", language: "fr", full: ["clarinette alto"], short: ["cl alto"], source: CP },
  { kind: "alto-clarinet", language: "it", full: ["clarinetto contralto"], short: ["cl contralto"], source: CP },

  { kind: "basset-clarinet", language: "en", full: ["basset clarinet"], short: ["basset cl", "basset clar"], source: SOUNDS },
  { kind: "basset-clarinet", language: "de", full: ["bassettklarinette", "bassett klarinette"], short: [], source: CP },
  { kind: "basset-clarinet", language: "it", full: ["clarinetto di bassetto"], short: [], source: CP },
  { kind: "basset-clarinet", language: "fr", full: ["clarinette de basset"], short: [], source: CP },

  { kind: "basset-horn", language: "en", full: ["basset horn", "basset horns", "bassethorn"], short: ["basset hn", "bst hn"], source: SOUNDS },
  { kind: "basset-horn", language: "de", full: ["bassetthorn", "bassetthorner", "bassethorner", "bassett horn"], short: ["bass h.", "bassetth", "bassetthr"], source: CP },
  { kind: "basset-horn", language: "fr", full: ["cor de basset", "cors de basset"], short: [], source: BERLIOZ },
  { kind: "basset-horn", language: "it", full: ["corno di bassetto", "corni di bassetto"], short: ["c. di bassetto"], source: GROVE },

  { kind: "contra-alto-clarinet", language: "en", full: ["contra alto clarinet", "contraalto clarinet", "contralto clarinet"], short: ["contra alto cl"], source: SOUNDS },
  { kind: "contrabass-clarinet", language: "en", full: ["contrabass clarinet", "double bass clarinet"], short: ["contrabass cl", "cb cl"], source: SOUNDS },
  { kind: "contrabass-clarinet", language: "en", full: ["pedal clarinet"], short: [], source: EB },
  { kind: "contrabass-clarinet", language: "de", full: ["kontrabassklarinette", "kontrabass klarinette"], short: ["kbkl", "kbklar", "kontrabasskl", "kontrabassklar"], source: CP },
  { kind: "contrabass-clarinet", language: "fr", full: ["clarinette contrebasse"], short: ["cl contrebasse"], source: CP },
  { kind: "contrabass-clarinet", language: "it", full: ["clarinetto contrabbasso"], short: ["cl contrabbasso"], source: CP },

  { kind: "flute", language: "en", full: ["flute", "flutes"], short: ["fl", "fls"], source: M21 },
  { kind: "flute", language: "de", full: ["flote", "floten", "floete", "grosse flote"], short: ["gr fl", "gr flote"], source: M21 },
  { kind: "flute", language: "fr", full: ["grande flute", "grandes flutes"], short: ["gde fl", "gde flute"], source: M21 },
  { kind: "flute", language: "it", full: ["flauto", "flauti", "flauto grande"], short: ["fl gr", "fl grande"], source: M21 },
  { kind: "flute", language: "es", full: ["flauta", "flautas"], short: [], source: M21 },
  { kind: "flute", language: "ru", full: ["fleita"], short: [], source: M21 },

  { kind: "piccolo", language: "en", full: ["piccolo", "piccolos", "piccolo flute"], short: ["picc", "pic", "picc fl"], source: M21 },
  { kind: "piccolo", language: "de", full: ["kleine flote", "kleine floten", "pikkolo", "pikkoloflote", "piccoloflote", "kl flote"], short: ["kl fl"], source: M21 },
  { kind: "piccolo", language: "fr", full: ["petite flute", "petites flutes", "pte flute"], short: ["pte fl", "petite fl", "p. fl"], source: M21 },
  { kind: "piccolo", language: "it", full: ["ottavino", "ottavini", "flauto piccolo", "flauti piccoli"], short: ["ott", "fl picc", "fl piccolo"], source: M21 },
  { kind: "piccolo", language: "es", full: ["flautin", "flauta piccolo"], short: [], source: M21 },
  { kind: "piccolo", language: "ru", full: ["malaia fleita"], short: [], source: M21 },

  { kind: "alto-flute", language: "en", full: ["alto flute", "alto flutes"], short: ["alto fl", "a. fl", "a fl"], source: SOUNDS },
  { kind: "alto-flute", language: "de", full: ["altflote", "alt flote"], short: ["altfl"], source: CP },
  { kind: "alto-flute", language: "fr", full: ["flute alto"], short: ["fl alto"], source: CP },
  { kind: "alto-flute", language: "it", full: ["flauto contralto", "flauto alto"], short: ["fl contralto"], source: CP },

  { kind: "oboe", language: "en", full: ["oboe", "oboes"], short: ["ob", "obs"], source: M21 },
  { kind: "oboe", language: "de", full: ["hoboe", "oboen", "hoboen"], short: ["hob"], source: M21 },
  { kind: "oboe", language: "fr", full: ["hautbois"], short: ["htb", "htbs", "hb", "hautb"], source: M21 },
  { kind: "oboe", language: "it", full: ["oboi"], short: [], source: M21 },
  { kind: "oboe", language: "ru", full: ["goboi"], short: [], source: M21 },
  { kind: "oboe-damore", language: "it", full: ["oboe damore", "oboi damore", "oboe damour", "hautbois damour"], short: ["ob damore", "ob dam"], source: SOUNDS },
  { kind: "oboe-damore", language: "de", full: ["liebesoboe"], short: [], source: CP },

  { kind: "english-horn", language: "fr", full: ["cor anglais", "cors anglais"], short: ["c. a.", "cor ang", "c. ang"], source: M21 },
  // "E Hn" is left out: beside "E Horn 1" it is a horn in E.
  { kind: "english-horn", language: "en", full: ["english horn", "english horns"], short: ["e. h.", "e. h", "eh", "eng hn", "eng horn"], source: M21 },
  { kind: "english-horn", language: "de", full: ["englischhorn", "englisch horn", "englischhorner", "englisches horn"], short: ["engl horn", "engl hr", "englh", "englhr"], source: M21 },
  { kind: "english-horn", language: "it", full: ["corno inglese", "corni inglesi"], short: ["c. ing", "c. i.", "c. ingl", "cor ing", "cor ingl", "corno ing", "corno ingl"], source: M21 },

  { kind: "english-horn", language: "es", full: ["corno ingles"], short: [], source: M21 },

  { kind: "bassoon", language: "en", full: ["bassoon", "bassoons"], short: ["bsn", "bsns", "bn", "bssn"], source: M21 },
  { kind: "bassoon", language: "de", full: ["fagott", "fagotte", "fagotten"], short: ["fag", "fg", "fgt"], source: M21 },
  { kind: "bassoon", language: "fr", full: ["basson", "bassons"], short: ["bon", "bons"], source: M21 },
  { kind: "bassoon", language: "it", full: ["fagotto", "fagotti"], short: [], source: M21 },
  { kind: "bassoon", language: "es", full: ["fagot", "fagotes"], short: [], source: M21 },

  { kind: "contrabassoon", language: "en", full: ["contrabassoon", "contrabassoons", "contra bassoon", "double bassoon"], short: ["c. bsn", "c bsn", "cbsn", "c. bn", "cbn", "cb bsn", "contra bsn"], source: M21 },
  { kind: "contrabassoon", language: "de", full: ["kontrafagott", "contrafagott"], short: ["k. fag", "kfag", "kfg", "k. fg", "kontrafag", "contrafag"], source: M21 },
  { kind: "contrabassoon", language: "fr", full: ["contrebasson"], short: ["c. bon", "cbon"], source: M21 },
  { kind: "contrabassoon", language: "it", full: ["contrafagotto", "contrafagotti", "controfagotto"], short: ["cfg", "cfag", "c. fag", "c. fg"], source: M21 },
  { kind: "contrabassoon", language: "es", full: ["contrafagot"], short: [], source: M21 },

  // "B. Sax." may be a bass or a baritone: left out.
  { kind: "saxophone", language: "en", full: ["saxophone", "saxophones"], short: ["sax", "sx"], source: M21 },
  { kind: "saxophone", language: "de", full: ["saxophon", "saxofon"], short: [], source: M21 },
  { kind: "saxophone", language: "it", full: ["sassofono", "sassofoni"], short: [], source: M21 },
  { kind: "saxophone", language: "fr", full: ["saxo"], short: [], source: CP },
  { kind: "saxophone-soprano", language: "en", full: ["soprano saxophone", "soprano sax"], short: ["s. sax", "sop sax", "s. sx", "sop sx"], source: SOUNDS },
  { kind: "saxophone-soprano", language: "de", full: ["sopransaxophon", "sopran saxophon", "sopransax"], short: [], source: CP },
  { kind: "saxophone-soprano", language: "fr", full: ["saxophone soprano", "saxo soprano"], short: [], source: CP },
  { kind: "saxophone-soprano", language: "it", full: ["sassofono soprano", "sax soprano"], short: [], source: CP },
  { kind: "saxophone-alto", language: "en", full: ["alto saxophone", "alto saxophones", "alto sax"], short: ["a. sax", "alto sx", "a. sx"], source: SOUNDS },
  { kind: "saxophone-alto", language: "de", full: ["altsaxophon", "alt saxophon", "altsax"], short: [], source: CP },
  { kind: "saxophone-alto", language: "fr", full: ["saxophone alto", "saxo alto"], short: [], source: CP },
  { kind: "saxophone-alto", language: "it", full: ["sassofono contralto", "sassofono alto", "sax contralto", "sax alto"], short: [], source: CP },
  { kind: "saxophone-alto", language: "es", full: ["saxofon alto"], short: [], source: CP },
  { kind: "saxophone-tenor", language: "en", full: ["tenor saxophone", "tenor sax"], short: ["t. sax", "ten sax", "t. sx", "ten sx"], source: SOUNDS },
  { kind: "saxophone-tenor", language: "de", full: ["tenorsaxophon", "tenorsax"], short: [], source: CP },
  { kind: "saxophone-tenor", language: "fr", full: ["saxophone tenor", "saxo tenor"], short: [], source: CP },
  { kind: "saxophone-tenor", language: "it", full: ["sassofono tenore", "sax tenore"], short: [], source: CP },
  { kind: "saxophone-baritone", language: "en", full: ["baritone saxophone", "baritone sax", "bari sax"], short: ["bar sax", "bari sx", "bar sx"], source: SOUNDS },
  { kind: "saxophone-baritone", language: "de", full: ["baritonsaxophon", "baritonsax"], short: [], source: CP },
  { kind: "saxophone-baritone", language: "fr", full: ["saxophone baryton", "saxo baryton"], short: [], source: CP },
  { kind: "saxophone-baritone", language: "it", full: ["sassofono baritono", "sax baritono"], short: [], source: CP },
];

/** Nouns in the plural: a number before them counts players ("2 Clarinetten"). */
// prettier-ignore
export const PLURALS: ReadonlySet<string> = new Set([
  "clarinets", "clarionets", "clarinettes", "klarinetten", "clarinetten", "clarinetti", "clarinetes",
  "flutes", "floten", "flauti", "flautas", "ottavini", "piccolos", "oboes", "oboen", "hoboen", "oboi",
  "hautbois", "bassoons", "fagotte", "fagotten", "fagotti", "bassons", "saxophones", "bassetthorner",
  "cors", "corni", "horns", "bassethorner", "bassklarinetten", "piccoli", "contrabassoons", "contrafagotti", "sassofoni",
]);

/** Player numbers in words and Roman figures. */
// prettier-ignore
export const NUMBER_WORDS: ReadonlyMap<string, number> = new Map([
  ["i", 1], ["ii", 2], ["iii", 3], ["iv", 4], ["v", 5], ["vi", 6],
  ["first", 1], ["second", 2], ["third", 3], ["fourth", 4],
  ["imo", 1], ["iido", 2], ["iida", 2], ["primo", 1], ["prima", 1], ["secondo", 2], ["seconda", 2], ["terzo", 3], ["quarto", 4],
  ["erste", 1], ["zweite", 2], ["dritte", 3], ["vierte", 4], ["erster", 1], ["zweiter", 2], ["dritter", 3],
  ["premier", 1], ["premiere", 1], ["deuxieme", 2], ["troisieme", 3],
  ["primero", 1], ["segundo", 2], ["tercero", 3],
]);

/** "And" between players or keys. A capital E is the key of E. */
export const CONJUNCTIONS: ReadonlySet<string> = new Set(["and", "und", "u", "e", "ed", "et", "y"]);

/** Words beside a name that say nothing about which instrument it is. */
// prettier-ignore
export const NEUTRAL_WORDS: ReadonlySet<string> = new Set([
  "solo", "soli", "solos", "principal", "principale", "solist", "part", "parts", "player", "players",
  "spieler", "stimme", "parte", "partie", "no", "nr", "reed",
]);

/**
 * Words that make a name with a woodwind in it something else ("Piccolo Trumpet", "Bass Flute",
 * "Flauto dolce", "Alto" alone). Common practice, no source.
 */
// prettier-ignore
export const FOREIGN_WORDS: ReadonlySet<string> = new Set([
  "trumpet", "trumpets", "tpt", "tromba", "trombe", "trompete", "trompette", "clarino", "clarini", "cornet",
  "cornetto", "cornett", "horn", "horns", "hn", "cor", "cors", "corno", "corni", "trombone", "trombones",
  "tuba", "tube", "posaune", "bugle", "flugelhorn", "timpani", "pauken", "timbales", "drum", "snare",
  "timp", "pk", "tr", "trp", "trb", "hr",
  "violin", "violins", "violino", "violine", "violon", "viola", "bratsche", "cello", "violoncello",
  "contrabass", "kontrabass", "contrebasse", "contrabbasso", "double", "strings", "piano", "organ", "orgel",
  "voice", "voices", "soprano", "sopran", "alto", "alt", "contralto", "tenor", "tenore", "baritone", "bari",
  "bass", "bassi", "basso", "basse", "bajo", "sopranino", "mezzo", "recorder", "dolce", "bec", "pan", "caccia",
  "whistle", "fife", "sarrusophone", "heckelphone", "melody", "subcontrabass", "grande",
]);
