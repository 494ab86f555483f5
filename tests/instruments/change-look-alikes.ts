// Printed texts that look like a change of instrument and are none. Where no source is named:
// common practice, no source; titles and sentences are invented.

/** Timpani, horns and harps: tunings as in LilyPond engravings; pedals as in OpenScore Orchestra. */
const OTHER_INSTRUMENTS = [
  "muta in Fa, Do", "muta in G, D", "C muta in H", "muta C in H", "Mi muta in Re", "La muta in Sol",
  "muta Sol in La", "Timpani muta in A", "Timp. muta in A", "Pk. muta in A", "Tr. I muta in B", "Trp. muta in C", "Trb. muta in B", "Hr. muta in E", "Corno III muta in E", "umstimmen in B",
  "Horn in F", "Hn. in F", "Cor. in F", "Cor en la", "Trumpet in B", "Tr. in Si♭", "Trb. in B", "Vl. I",
  "Mi ♮  Fa ♯  Sol ♮  La ♮  Si ♮  Do ♮  Ré ♮", "préparez mi ♮ fa ♮ sol ♭ la ♮ si ♭", "Sul G",
] as const; // prettier-ignore

const TONALITIES_AND_TITLES = [
  "in A major", "in C minor", "in B flat minor", "in A-Dur", "in B-dur", "in la maggiore", "en la majeur",
  "en la mineur", "en ut mineur", "en do dièse mineur", "in Si bemolle minore", "nach A-Dur", "change to A major",
  "Sonata in B", "Trio in A", "Messe en ut", "Finale in A", "No. 2 in A", "Solo in A", "Solo in la", "Part in A",
  "in A Dorian", "in concert B♭", "in A (concert)",
] as const; // prettier-ignore

const MUTES_BOWS_AND_DYNAMICS = [
  "con sord.", "con sordino", "senza sord.", "muta la sordina", "muta in sordina", "Dämpfer auf",
  "nimmt Dämpfer", "prenez la sourdine", "mettez la sourdine", "enlevez la Sourdine", "take mute off",
  "muta corda", "changez d'archet", "Bogen wechseln", "nimmt zu", "nimmt ab", "nimmt an Stärke zu",
  "prend de l'ampleur", "switch to brushes",
] as const; // prettier-ignore

const TEMPO_AND_STYLE = [
  "in tempo", "in 2", "in 4", "in one", "in a slow four", "in modo di marcia", "a tempo", "Allegro", "Tempo I.",
  "cambia il tempo", "cambia il carattere", "change to 3/4", "to a tempo", "torna al tempo",
  "torna al Tempo I", "wieder Tempo I", "zurück zum Tempo", "retour au mouvement", "reprenez le mouvement",
  "vuelve al tempo", "en dehors", "en mesure", "en animant", "en élargissant", "prenez le temps",
  "take your time", "poco a poco", "cresc. poco a poco", "quasi Flauto", "wie Flöte", "comme une flûte",
] as const; // prettier-ignore

const PLACES_AND_LETTERS = [
  "To Coda", "to the end", "to p", "to B", "to C", "to a", "in a", "in b", "to letter A", "from A to B", "zum A",
  "D.S. al Coda", "A", "[A]", "B", "C", "E", "A2", "La", "Si♭", "al Fine", "torna al segno", "variation 1",
  "reprenez au début", "take the repeat", "zum Schluss",
] as const; // prettier-ignore

const PLAYERS_AND_CUES = [
  "a 2", "a 2.", "a  2", "zu 2", "a due", "1.", "1., 2.", "I.", "Solo", "Soli", "tutti", "unis.", "div. in 3",
  "Div. en 2", "tacet", "2. tacet", "Cl. tacet", "Cl. in A tacet", "Picc. tacet", "Fl.", "Ob. solo", "Hn.", "B. Cl.",
  "C. A.", "C. Bsn.", "A. Sax", "B. Clar.", "Clar.", "Klar.", "Hautb.", "Bkl.", "Oboe 1", "Cl. II", "Clarinet solo", "Fl. cue", "Picc. cue", "to Tpt. cue", "to Fl. cue", "Violin",
  "+ Picc.", "Fl. + Picc.", "con Picc.", "colla Clarinetto", "mit Klar.", "Fl. e Ob.", "Bass", "Alto", "Soprano",
  "Clarino", "Flauto dolce", "take over from Fl.",
] as const; // prettier-ignore

const SENTENCES = [
  "Es ist genug", "Es war einmal", "As before", "la melodia", "la seconda volta", "si replica", "si tace", "La voix",
  "Mi raccomando", "Des pas dans le jardin", "En la forêt", "Re: entrance", "do not change", "do not change to A",
  "don't change", "senza muta", "ohne Wechsel in A", "sans changer en la", "without change to A", "prende fiato", "prende la melodia", "take a breath", "take a break", "take 2",
  "Take Five", "nimmt Platz", "in A (ossia)", "in A (opt.)", "ossia in A", "in A o B", "Clarinet in A/B♭",
  "petit tambourine et castagnettes", "to blend with Clarinet", ".", "", " ",
] as const; // prettier-ignore

export const LOOK_ALIKES: readonly string[] = [
  ...OTHER_INSTRUMENTS,
  ...TONALITIES_AND_TITLES,
  ...MUTES_BOWS_AND_DYNAMICS,
  ...TEMPO_AND_STYLE,
  ...PLACES_AND_LETTERS,
  ...PLAYERS_AND_CUES,
  ...SENTENCES,
];

/** Texts that ask for a change to something that is not understood; invented. */
export const UNCLEAR: readonly string[] = [
  "muta", "muta in", "muta in Tárogató", "muta in Hes", "cambia in tromba", "prende il tamburo",
  "nimmt Ratsche", "wechselt zu Trompete", "take recorder", "take bass", "take A Cl. (optional)", "change to ocarina",
  "switch to keyboards", "prenez le tambour", "take A cl. or B♭ cl.", "muta in A o B",
  "muta in A; 2. in B", "I. muta in A, II. resta in B", "muta in Fl. e Picc.", "if you like change to A",
]; // prettier-ignore
