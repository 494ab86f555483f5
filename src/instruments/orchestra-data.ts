import type { OrchestraGroup } from "../model/landmark.js";

/**
 * Names of what stands in an orchestra beside the woodwinds of names-data.ts: English, German, French and
 * Italian, and what scores abbreviate them to. Words are folded as in tokens.ts; the longest name in a text counts.
 * Common practice, no source.
 */
export interface OrchestraRow {
  readonly instrument: string;
  readonly group: OrchestraGroup;
  readonly names: readonly string[];
}

// prettier-ignore
export const ORCHESTRA_ROWS: readonly OrchestraRow[] = [
  { instrument: "sarrusophone", group: "woodwind", names: ["sarrusophone", "sarrusofono", "bass sarrusophone", "contrabass sarrusophone"] },
  { instrument: "heckelphone", group: "woodwind", names: ["heckelphone", "heckelphon"] },
  { instrument: "recorder", group: "woodwind", names: ["recorder", "recorders", "blockflote", "blockfloten", "flauto dolce", "flute a bec"] },
  { instrument: "bass-flute", group: "woodwind", names: ["bass flute", "bassflote", "flute basse", "flauto basso"] },

  { instrument: "horn", group: "brass", names: ["horn", "horns", "french horn", "french horns", "natural horn", "hn", "hns", "hr", "horner", "waldhorn", "cor", "cors", "corno", "corni"] },
  { instrument: "trumpet", group: "brass", names: ["trumpet", "trumpets", "natural trumpet", "piccolo trumpet", "bass trumpet", "tpt", "tpts", "trp", "trpt", "trompete", "trompeten", "trpte", "tromba", "trombe", "trompette", "trompettes", "clarino", "clarini"] },
  { instrument: "cornet", group: "brass", names: ["cornet", "cornets", "kornett", "cornet a pistons", "cornets a pistons", "cornetta", "cornette", "pistons", "flugelhorn"] },
  { instrument: "trombone", group: "brass", names: ["trombone", "trombones", "tenor trombone", "alto trombone", "bass trombone", "contrabass trombone", "tbn", "trb", "trbn", "posaune", "posaunen", "bassposaune", "altposaune", "tenorposaune", "pos", "tromboni", "trombone basso", "trombone basse"] },
  { instrument: "tuba", group: "brass", names: ["tuba", "tubas", "bass tuba", "basstuba", "tenor tuba", "wagner tuba", "wagnertuba", "tuben", "tube", "ophicleide", "euphonium", "cimbasso", "serpent"] },

  { instrument: "timpani", group: "timpani", names: ["timpani", "timpano", "timp", "timpany", "kettledrum", "kettledrums", "kettle drums", "pauken", "pauke", "pk", "timbales", "timbale"] },

  { instrument: "percussion", group: "percussion", names: ["percussion", "perc", "schlagzeug", "schlagwerk", "batterie", "percussions", "percussioni", "batteria", "drums", "drum set", "drumset"] },
  { instrument: "triangle", group: "percussion", names: ["triangle", "triangel", "triangolo", "trgl", "trg"] },
  { instrument: "cymbals", group: "percussion", names: ["cymbal", "cymbals", "becken", "cymbales", "cymbale", "piatti", "cinelli", "crash cymbals", "suspended cymbal"] },
  { instrument: "bass-drum", group: "percussion", names: ["bass drum", "grosse trommel", "gr trommel", "grosse caisse", "gran cassa", "grancassa", "cassa"] },
  { instrument: "snare-drum", group: "percussion", names: ["snare drum", "side drum", "kleine trommel", "kl trommel", "militartrommel", "ruhrtrommel", "tambour", "caisse claire", "tamburo", "tamburo militare", "drum", "tenor drum", "trommel"] },
  { instrument: "tambourine", group: "percussion", names: ["tambourine", "tamburin", "schellentrommel", "tambour de basque", "tamburello", "tamburino"] },
  { instrument: "tam-tam", group: "percussion", names: ["tam tam", "tamtam", "gong"] },
  { instrument: "glockenspiel", group: "percussion", names: ["glockenspiel", "glock", "campanelli", "jeu de timbres", "carillon"] },
  { instrument: "xylophone", group: "percussion", names: ["xylophone", "xylophon", "xylofono", "silofono", "marimba", "vibraphone", "vibraphon", "vibrafono"] },
  { instrument: "bells", group: "percussion", names: ["bells", "tubular bells", "chimes", "glocken", "rohrenglocken", "campane", "cloches"] },
  { instrument: "castanets", group: "percussion", names: ["castanets", "kastagnetten", "castagnettes", "castagnette", "nacchere", "wood block", "woodblock", "whip", "ratchet"] },

  { instrument: "harp", group: "harp-keys", names: ["harp", "harps", "hp", "harfe", "harfen", "harpe", "harpes", "arpa", "arpe"] },
  { instrument: "celesta", group: "harp-keys", names: ["celesta", "celeste"] },
  { instrument: "piano", group: "harp-keys", names: ["piano", "pianoforte", "klavier", "grand piano", "harpsichord", "cembalo", "clavecin", "clavicembalo"] },
  { instrument: "organ", group: "harp-keys", names: ["organ", "orgel", "orgue", "organo", "harmonium"] },

  { instrument: "voice", group: "voice", names: ["voice", "voices", "soprano", "sopranos", "sopran", "mezzo soprano", "mezzosoprano", "contralto", "tenor", "tenors", "tenore", "tenori", "baritone", "bariton", "baritono", "choir", "chorus", "chor", "choeur", "coro", "singstimme", "gesang", "chant", "canto", "alto solo", "bass solo"] },

  { instrument: "violin", group: "strings", names: ["violin", "violins", "vln", "vlns", "vl", "vn", "vni", "violine", "violinen", "geige", "geigen", "violon", "violons", "vons", "violino", "violini"] },
  { instrument: "viola", group: "strings", names: ["viola", "violas", "vla", "vlas", "va", "bratsche", "bratschen", "br", "viole", "alto viola"] },
  { instrument: "cello", group: "strings", names: ["cello", "cellos", "celli", "violoncello", "violoncellos", "violoncelli", "violoncell", "violoncelle", "violoncelles", "vc", "vlc", "vcl", "vlle"] },
  { instrument: "double-bass", group: "strings", names: ["double bass", "double basses", "contrabass", "contrabasses", "string bass", "kontrabass", "kontrabasse", "kb", "cb", "db", "contrebasse", "contrebasses", "contrabbasso", "contrabbassi", "contrabasso", "contrabassi"] },
  { instrument: "strings", group: "strings", names: ["strings", "streicher", "cordes", "archi", "solo strings", "string orchestra"] },

  { instrument: "guitar", group: "other", names: ["guitar", "gitarre", "guitare", "chitarra", "mandolin", "mandoline", "mandolino", "accordion", "akkordeon", "tape", "electronics"] },
];

/** Names that mean two things; the standard sound decides, else what they are in an orchestra without singers. */
// prettier-ignore
export const AMBIGUOUS_ROWS: readonly OrchestraRow[] = [
  // A singer, or the double basses: "Bassi" under the cellos.
  { instrument: "double-bass", group: "strings", names: ["bass", "basses", "bassi", "basso", "basse", "basse continue", "basso continuo", "continuo"] },
  // A singer in English, German and Italian, the viola in French.
  { instrument: "viola", group: "strings", names: ["alto", "altos"] },
];

/** Beginnings of ids of the MusicXML 4.0 standard sounds list (sounds.xml), the longer first. */
export const SOUND_GROUPS: readonly (readonly [start: string, group: OrchestraGroup])[] = [
  ["drum.timpani", "timpani"],
  ["pluck.harp", "harp-keys"],
  ["wind.", "woodwind"],
  ["brass.", "brass"],
  ["strings.", "strings"],
  ["keyboard.", "harp-keys"],
  ["voice.", "voice"],
  ["drum.", "percussion"],
  ["metal.", "percussion"],
  ["wood.", "percussion"],
  ["rattle.", "percussion"],
  ["pitched-percussion.", "percussion"],
  ["effect.", "percussion"],
];
