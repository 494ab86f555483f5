import * as v from "valibot";
import { VERDICTS, type Disagreement, type Evidence, type Hazard } from "../model/finding.js";
import { INSTRUMENT_IDS } from "../model/instrument.js";
import type { Advice } from "../model/report.js";
import type {
  AuditedChange,
  Closing,
  EdgeRest,
  FileAudit,
  HeldSign,
  Opening,
  RestStep,
  SeatAudit,
  SeatFailure,
  Surroundings,
} from "../model/season.js";
import { TEMPO_SOURCES, type PlaceOnPage, type SecondsRange } from "../model/time.js";
import { PAUSE_SECONDS } from "../timing/pauses.js";

// The shape of `FileAudit` as it comes back from a file that anybody may have written. The compiler asks for
// every field and every kind that the model has.

type Fields<Shape> = { readonly [Name in keyof Shape]-?: v.GenericSchema };
type Kinds<Union extends { readonly kind: string }> = {
  readonly [Kind in Union["kind"]]: Omit<Fields<Extract<Union, { readonly kind: Kind }>>, "kind">;
};

const message = ({ expected }: { readonly expected: string | null }) =>
  expected === "never" ? "is not a field of a result" : "is not as muta writes it";

function shape<Shape>(fields: Fields<Shape>) {
  return v.strictObject(fields as Record<string, v.GenericSchema>, message);
}

/** One of several shapes, told apart by their `kind`. */
function kinds<Union extends { readonly kind: string }>(shapes: Kinds<Union>) {
  const options = Object.entries(shapes as Record<string, Record<string, v.GenericSchema>>).map(
    ([kind, fields]) => v.strictObject({ kind: v.literal(kind), ...fields }, message),
  );
  return v.variant("kind", options, message);
}

const text = v.string("must be a text");
const number = v.pipe(v.number("must be a number"), v.finite("must be a number"));
const count = v.pipe(number, v.safeInteger("must be a whole number"));
const flag = v.boolean("must be true or false");
const oneOf = (names: readonly string[]) => v.picklist(names, "is not as muta writes it");
const instrument = oneOf(INSTRUMENT_IDS);
const listOf = (item: v.GenericSchema) => v.array(item, "must be a list");
const mayLack = <Schema extends v.GenericSchema>(schema: Schema) => v.exactOptional(schema);

const seconds = shape<SecondsRange>({ short: number, likely: number, long: number });
const counted = shape<EdgeRest["counted"]>({ bars: number, beats: number });

const place = shape<PlaceOnPage>({
  ...{ barIndex: count, barLabel: text, movement: mayLack(count), pass: count },
  ...{ repeated: flag, beat: number, atBarEnd: flag },
});

const pauseSign = oneOf(Object.keys(PAUSE_SECONDS));
const held = shape<HeldSign>({ on: oneOf(["last-note", "rest"]), sign: pauseSign });

const EVIDENCE: Readonly<Record<Evidence["kind"], true>> = {
  transpose: true,
  "instrument-change": true,
  "note-instrument": true,
  "part-name-display": true,
  words: true,
  repeat: true,
};
const evidence = shape<Evidence>({
  ...{ kind: oneOf(Object.keys(EVIDENCE)), barIndex: count, barLabel: text, text },
});

const pauseHazard = { at: place, sign: pauseSign };
const hazard = kinds<Hazard<PlaceOnPage>>({
  "meter-change": { at: place, from: text, to: text },
  "tempo-change": { at: place, from: number, to: number, mark: text, gradual: flag },
  pause: pauseHazard,
  "late-look-up": { at: place, lookUpBars: number },
});

const where = { barIndex: count, barLabel: text };
const words = { words: text, wordsBarLabel: text };
const disagreement = kinds<Disagreement>({
  "words-against-transposition": {
    ...{ ...where, ...words, wordsMean: instrument, transpositionFits: listOf(instrument) },
    keyFits: mayLack(oneOf(["words", "transposition"])),
  },
  "encoded-against-transposition": {
    ...{ ...where, encoded: text, encodedBarLabel: text, encodedMeans: instrument },
    ...{ transpositionFits: listOf(instrument), followed: instrument },
  },
  "words-against-words": {
    ...{ ...where, ...words, otherWords: text, otherWordsBarLabel: text, followed: instrument },
  },
  "words-before-transposition": {
    ...{ ...where, ...words, wordsMean: instrument, passedBarLabel: text },
  },
  "key-against-score": {
    ...{ ...where, keyBarLabel: text, scoreKeyBarLabel: text, instrument },
    ...{ writtenFifths: count, expectedFifths: count },
  },
  "nothing-printed": { ...where, restBarLabel: text, to: instrument },
  "late-warning": {
    ...{ ...where, ...words, restBarLabel: text, seconds: number, neededSeconds: number },
    to: instrument,
  },
});

const advice = kinds<Advice>({
  "ask-for-cue": { when: oneOf(["entry", "look-up"]), barLabel: text, pass: count },
  "not-playable-as-printed": { missingSeconds: number },
  "check-print": { barLabel: text },
  "pencil-in": { barLabel: text, to: instrument },
});

const change = shape<AuditedChange>({
  ...{ from: instrument, to: instrument, leave: place, enter: place },
  rest: shape<AuditedChange["rest"]>({
    ...{ quarters: number, counted, seconds, tempoSource: oneOf(TEMPO_SOURCES) },
    held: listOf(held),
  }),
  pause: v.nullable(shape<NonNullable<AuditedChange["pause"]>>({ seconds, assumed: flag })),
  neededSeconds: number,
  lookUp: shape<AuditedChange["lookUp"]>({ seconds: number, bars: number }),
  verdict: oneOf(VERDICTS),
  ...{ hazards: listOf(hazard), evidence: listOf(evidence) },
  ...{ disagreements: listOf(disagreement), advice: listOf(advice) },
});

const surroundings: Fields<Surroundings> = {
  meter: text,
  tempo: shape<Surroundings["tempo"]>({ first: number, last: number, text, isNew: flag }),
};

const edgeRest = shape<EdgeRest>({
  ...{ quarters: number, counted, seconds, tempoSource: oneOf(TEMPO_SOURCES) },
  ...{ pauseSeconds: seconds, held: listOf(held) },
  steps: listOf(shape<RestStep>({ at: place, bars: number, seconds: number, ...surroundings })),
  pauses: listOf(
    shape<EdgeRest["pauses"][number]>({
      hazard: v.strictObject({ kind: v.literal("pause"), ...pauseHazard }, message),
      afterSeconds: number,
    }),
  ),
});

const opening = shape<Opening>({
  ...{ instrument, at: place, graceSeconds: number, rest: edgeRest },
  ...{ evidence: listOf(evidence), transpositionFits: listOf(instrument), ...surroundings },
});

const closing = shape<Closing>({
  ...{ instrument, at: place, rest: edgeRest, ...surroundings },
  words: listOf(shape<Closing["words"][number]>({ evidence, means: listOf(instrument) })),
});

const seat = shape<SeatAudit>({
  player: text,
  part: shape<SeatAudit["part"]>({ id: text, name: text, player: mayLack(count) }),
  ...{ instruments: listOf(instrument), changes: listOf(change), faults: listOf(disagreement) },
  edges: v.nullable(shape<NonNullable<SeatAudit["edges"]>>({ opens: opening, closes: closing })),
  ...{ durationSeconds: seconds, goesOn: flag },
});

const failure = shape<SeatFailure>({
  ...{ player: mayLack(text), file: text, code: text, message: text },
  ...{ part: mayLack(text), bar: mayLack(text) },
});

/** A `FileAudit` as plain data. */
export const fileAuditSchema: v.GenericSchema = shape<FileAudit>({
  ...{ file: text, title: text, movement: text, seats: listOf(seat) },
  ...{ durationSeconds: v.nullable(seconds), errors: listOf(failure) },
});
