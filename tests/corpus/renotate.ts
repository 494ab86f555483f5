import { INSTRUMENTS } from "../../src/instruments/table.js";
import type { SpelledPitch, Step, Transposition } from "../../src/model/score.js";
import { writtenKey } from "../../src/theory/key.js";
import {
  midiNumber,
  movePitch,
  soundingPitch,
  transpositionFifths,
  writtenPitch,
} from "../../src/theory/pitch.js";
import type { Cut } from "./renotate-cut.js";
import type { Random } from "./renotate-random.js";
import { partName, printedText, TARGETS, type Target } from "./renotate-signs.js";
import { comparePlaces, type Place, type Seam, type SourcePart } from "./renotate-source.js";

/** A sign that is printed besides the transposition. */
export interface PlannedSign {
  readonly kind: "words" | "instrument-change" | "part-name-display";
  readonly at: Place;
  readonly text: string;
  /** Of words: the `<instrument-change>` that is encoded in the same direction. */
  readonly sound?: string;
}

/** What is printed for one change. */
export interface PlannedChange {
  readonly seam: Seam;
  /** Where the transposition and the key signature are printed; missing where a misprint leaves them out. */
  readonly transposeAt: Place | undefined;
  readonly signs: readonly PlannedSign[];
}

/** Notes between two changes. */
export interface Passage {
  /** Where it begins. */
  readonly entry: Place;
  /** The instrument that the notes are written for. */
  readonly notated: Target;
  /** The instrument that the player has in hand: another one only where the words are a misprint. */
  readonly inHand: Target;
  readonly change: PlannedChange | undefined;
}

/** A part that is to be printed: a real one, with passages written for other instruments. */
export interface Plan {
  readonly source: SourcePart;
  readonly cut: Cut;
  readonly partName: string;
  /** Instruments declared in the part list, that of the beginning first. */
  readonly declared: readonly { readonly target: Target; readonly xml: string }[];
  /** Whether every note names its instrument. */
  readonly noteInstruments: boolean;
  readonly passages: readonly Passage[];
  /** Words that mean no change for this player. */
  readonly decoys: readonly PlannedSign[];
}

/** Words that say another instrument than the notes are written for. */
export interface WrongWords {
  /** What the notes before are written for. */
  readonly before: readonly Target[];
  /** What the notes after are written for. */
  readonly notated: Target;
  readonly words: Target;
}

const MOST_CHANGES = 5;
const TRIES = 40;

/**
 * Chooses changes and their signs for a piece of a part. Passages begin after rests, and the instruments
 * are such that every note is in their range.
 * @param wrong a change at which the words are a misprint
 * @returns undefined where the piece has no place for it
 */
export function planPart(
  source: SourcePart,
  cut: Cut,
  random: Random,
  wrong?: WrongWords,
): Plan | undefined {
  const seams = source.seams.filter(
    ({ lastNote, enter }) => lastNote.bar >= cut.from && enter.bar < cut.to,
  );
  for (let k = 0; k < TRIES; k++) {
    const chosen = random.some(seams, 1 + random.below(Math.min(MOST_CHANGES, seams.length)));
    const instruments = chooseInstruments(source, cut, chosen, random, wrong);
    if (instruments) return plan(source, cut, seams, chosen, instruments, random);
  }
  return undefined;
}

interface Chosen {
  readonly notated: readonly Target[];
  /** Number of the seam with wrong words. */
  readonly wrongAt: number;
  readonly words: Target | undefined;
}

function chooseInstruments(
  source: SourcePart,
  cut: Cut,
  seams: readonly Seam[],
  random: Random,
  wrong: WrongWords | undefined,
): Chosen | undefined {
  if (seams.length === 0) return undefined;
  const wrongAt = wrong ? random.below(seams.length) : -1;
  const places = [{ bar: cut.from, at: 0 }, ...seams.map(({ enter }) => enter)];
  const notated: Target[] = [];
  for (const [k, place] of places.entries()) {
    const until = places[k + 1] ?? { bar: cut.to, at: 0 };
    const isWrong = k === wrongAt + 1 && wrong !== undefined;
    const forced = wrong && k === wrongAt ? wrong.before : isWrong ? [wrong.notated] : [...TARGETS];
    const possible = forced.filter(
      (target) =>
        (isWrong || target !== notated.at(-1)) &&
        // After wrong words the next change is to an instrument that they cannot mean: words may come early.
        !(wrong && k === wrongAt + 2 && keyOf(target) === keyOf(wrong.words)) &&
        fitsRange(source, target, place, until),
    );
    if (possible.length === 0) return undefined;
    const own = possible.find((target) => target === source.instrument);
    notated.push(own && random.chance(k === 0 ? 0.6 : 0.25) ? own : random.pick(possible));
  }
  return { notated, wrongAt, words: wrong?.words };
}

function fitsRange(source: SourcePart, target: Target, from: Place, until: Place): boolean {
  const { lowest, highest } = INSTRUMENTS[target];
  const [low, high] = [lowest, highest].map((pitch) =>
    midiNumber(soundingPitch(pitch, transpositionOf(target))),
  );
  return source.notes.every(
    (note) =>
      comparePlaces(note, from) < 0 ||
      comparePlaces(note, until) >= 0 ||
      note.sounding.every(
        (midi) => low !== undefined && high !== undefined && midi >= low && midi <= high,
      ),
  );
}

function plan(
  source: SourcePart,
  cut: Cut,
  seams: readonly Seam[],
  chosen: readonly Seam[],
  { notated, wrongAt, words }: Chosen,
  random: Random,
): Plan {
  const inHand = notated.map((target, k) => (k === wrongAt + 1 && words ? words : target));
  const isPlain = wrongAt < 0;
  const declares = isPlain && random.chance(0.4);
  const noteInstruments = declares && random.chance(0.5);
  const used = declares ? [...new Set(notated)] : notated.slice(0, 1);
  const passages = notated.map((target, k): Passage => {
    const seam = chosen[k - 1];
    const before = notated[k - 1];
    const hand = inHand[k] ?? target;
    if (!seam || !before) {
      return {
        entry: { bar: cut.from, at: 0 },
        notated: target,
        inHand: hand,
        change: undefined,
      };
    }
    const signs =
      k === wrongAt + 1
        ? wrongSigns(seam, hand, inHand.slice(0, k), random)
        : chooseSigns(seam, hand, inHand.slice(0, k), { declares, noteInstruments, used }, random);
    // Where the notes go on as before, their transposition may be printed once more.
    const prints = before !== target || random.chance(0.3);
    const transposeAt = random.chance(0.4) ? seam.enter : random.pick(seam.inside);
    return {
      entry: seam.enter,
      notated: target,
      inHand: hand,
      change: { seam, transposeAt: prints ? transposeAt : undefined, signs },
    };
  });
  const unused = seams.filter((seam) => !chosen.includes(seam));
  const first = notated[0] ?? "clarinet-bflat";
  const name =
    first === source.instrument && random.chance(0.5)
      ? source.name
      : partName(first, source.player, random);
  return {
    source,
    cut,
    partName: name,
    declared: used.map((target, k) => ({
      target,
      xml: declaration(instrumentId(k), target, random),
    })),
    noteInstruments,
    passages,
    decoys: unused
      .filter(() => random.chance(0.03))
      .map(({ inside }) => otherPlayersWords(random.pick(inside), source.player, random)),
  };
}

function instrumentId(index: number): string {
  return `P1-I${index + 1}`;
}

function declaration(id: string, target: Target, random: Random): string {
  const sound = random.chance(0.8)
    ? `<instrument-sound>${INSTRUMENTS[target].sounds[0]}</instrument-sound>`
    : "";
  return `<score-instrument id="${id}"><instrument-name>${partName(target, undefined, random)}</instrument-name>${sound}</score-instrument>`;
}

/** "2. muta in Es" is nothing to the first player. */
function otherPlayersWords(at: Place, player: number, random: Random): PlannedSign {
  const text = printedText("prepare", random.pick(["clarinet-eflat", "clarinet-d"]), false, random);
  return { kind: "words", at, text: `${3 - player}. ${text.replace(/^Cl\. /, "")}` };
}

/**
 * Whether a key alone leaves open what is meant: a B-flat bass clarinet was played, which is in B-flat too.
 * Its other notation sounds like a B-flat clarinet, and that of the one in A like an A clarinet, so that
 * not even the transposition tells without the clef, which is not read (see the tests).
 */
function needsName(target: Target, before: readonly Target[]): boolean {
  return target === "bass-clarinet-bflat" || before.includes("bass-clarinet-bflat");
}

interface Declared {
  readonly declares: boolean;
  readonly noteInstruments: boolean;
  readonly used: readonly Target[];
}

function chooseSigns(
  seam: Seam,
  target: Target,
  before: readonly Target[],
  { declares, noteInstruments, used }: Declared,
  random: Random,
): readonly PlannedSign[] {
  const byName = needsName(target, before);
  const signs: PlannedSign[] = [];
  const change = `<instrument-change id="${instrumentId(used.indexOf(target))}">${
    random.chance(0.5)
      ? `<instrument-sound>${INSTRUMENTS[target].sounds[0]}</instrument-sound>`
      : ""
  }</instrument-change>`;
  let sound = declares && random.chance(noteInstruments ? 0.3 : 0.8) ? change : undefined;
  if (random.chance(0.4)) signs.push(preparingWords(seam, target, byName, random));
  if (random.chance(0.3)) signs.push(label(seam, target, byName, random));
  const displayAt = [...seam.inside, seam.enter].filter(({ at }) => at === 0);
  const named = signs.length > 0 || sound !== undefined || noteInstruments;
  if (displayAt.length > 0 && (random.chance(0.2) || (byName && !named))) {
    signs.push({
      kind: "part-name-display",
      at: random.pick(displayAt),
      text: partName(target, undefined, random),
    });
  } else if (byName && !named) signs.push(label(seam, target, byName, random));
  if (sound !== undefined && random.chance(0.5)) {
    const carrier = signs.findIndex(
      ({ kind, at }) => kind === "words" && comparePlaces(at, seam.leave) >= 0,
    );
    const words = signs[carrier];
    if (words) {
      signs[carrier] = { ...words, sound };
      sound = undefined;
    }
  }
  if (sound !== undefined) {
    const at = random.chance(0.5) ? seam.enter : random.pick(seam.inside);
    signs.push({ kind: "instrument-change", at, text: sound });
  }
  return signs;
}

function wrongSigns(
  seam: Seam,
  target: Target,
  before: readonly Target[],
  random: Random,
): readonly PlannedSign[] {
  const byName = needsName(target, before);
  const kind = random.below(3);
  return [
    ...(kind !== 1 ? [preparingWords(seam, target, byName, random)] : []),
    ...(kind !== 0 ? [label(seam, target, byName, random)] : []),
  ];
}

/** Words that prepare stand where the rest begins, sometimes later, sometimes over the note before. */
function preparingWords(
  { lastNote, inside }: Seam,
  target: Target,
  byName: boolean,
  random: Random,
): PlannedSign {
  const [first] = inside;
  const at = random.chance(0.1)
    ? lastNote
    : first && random.chance(0.6)
      ? first
      : random.pick(inside);
  return { kind: "words", at, text: printedText("prepare", target, byName, random) };
}

function label(
  { enter, inside }: Seam,
  target: Target,
  byName: boolean,
  random: Random,
): PlannedSign {
  // In the bar of the entry, before the rest in it.
  const barStart = inside.find(({ bar }) => bar === enter.bar);
  const at = barStart && random.chance(0.2) ? barStart : enter;
  return { kind: "words", at, text: printedText("label", target, byName, random) };
}

/** The part as MusicXML. */
export function printPlan(plan: Plan): string {
  const { source, cut, declared } = plan;
  const insertions = insertionsOf(plan);
  const bars = source.bars.slice(cut.from, cut.to).map((bar, k) => {
    const barIndex = cut.from + k;
    const here = insertions.filter(({ at }) => at.bar === barIndex);
    const pieces = bar.elements.map(({ name, xml, at }) =>
      printElement(plan, name, xml, { bar: barIndex, at }),
    );
    const lead = bar.elements.findIndex(
      ({ name, xml }) => !/^(?:print|attributes)$/.test(name) && !xml.includes('location="left"'),
    );
    for (const { at, xml } of here.reverse()) {
      const index = at.at === 0 ? lead : bar.elements.findIndex((element) => element.at === at.at);
      if (index < 0) throw new Error(`no place ${at.at} in bar ${bar.label}`);
      pieces[index] = `${xml}\n${pieces[index]}`;
    }
    if (k === 0 && cut.from > 0) pieces.unshift(carriedAttributes(plan));
    return `<measure number="${bar.label}">\n${pieces.join("\n")}\n</measure>`;
  });
  return `<?xml version="1.0" encoding="UTF-8"?>
<score-partwise version="4.0">
<part-list><score-part id="P1"><part-name>${plan.partName}</part-name>${declared.map(({ xml }) => xml).join("")}</score-part></part-list>
<part id="P1">
${bars.join("\n")}
</part>
</score-partwise>
`;
}

interface Insertion {
  readonly at: Place;
  readonly xml: string;
}

function insertionsOf(plan: Plan): Insertion[] {
  const { source, passages, decoys } = plan;
  const changes = passages.flatMap(({ notated, change }): Insertion[] => {
    if (!change) return [];
    const { transposeAt, signs } = change;
    const fifths = transposeAt && source.bars[transposeAt.bar]?.fifths;
    return [
      ...signs.filter(({ kind }) => kind === "part-name-display").map(printSign),
      ...(transposeAt && fifths !== undefined
        ? [
            {
              at: transposeAt,
              xml: `<attributes><key><fifths>${movedKey(source, fifths, notated).fifths}</fifths></key>${transposeXml(notated)}</attributes>`,
            },
          ]
        : []),
      ...signs.filter(({ kind }) => kind !== "part-name-display").map(printSign),
    ];
  });
  return [...changes, ...decoys.map(printSign)];
}

function printSign({ kind, at, text, sound }: PlannedSign): Insertion {
  switch (kind) {
    case "words":
      return {
        at,
        xml: `<direction placement="above"><direction-type>${wordsXml(text)}</direction-type>${sound ? `<sound>${sound}</sound>` : ""}</direction>`,
      };
    case "instrument-change":
      return { at, xml: `<sound>${text}</sound>` };
    case "part-name-display": {
      const pieces = text
        .split(/(♭)/)
        .filter((piece) => piece !== "")
        .map((piece) =>
          piece === "♭"
            ? "<accidental-text>flat</accidental-text>"
            : `<display-text>${piece}</display-text>`,
        );
      return {
        at,
        xml: `<print><part-name-display>${pieces.join("")}</part-name-display></print>`,
      };
    }
  }
}

/** A flat at the end of Italian words is set as a symbol, as some programs do. */
function wordsXml(text: string): string {
  const name = /^(.* [SM]i)♭$/.exec(text)?.[1];
  return name === undefined
    ? `<words>${text}</words>`
    : `<words>${name}</words><symbol>accidentalFlat</symbol>`;
}

function keyOf(target: Target): number {
  return INSTRUMENTS[target].keyFifths;
}

function transpositionOf(target: Target): Transposition {
  return INSTRUMENTS[target].notations[0].transposition;
}

function transposeXml(target: Target): string {
  const { diatonic, chromatic, octaveChange } = transpositionOf(target);
  const octaves = octaveChange === 0 ? "" : `<octave-change>${octaveChange}</octave-change>`;
  return `<transpose><diatonic>${diatonic}</diatonic><chromatic>${chromatic}</chromatic>${octaves}</transpose>`;
}

function carriedAttributes({ source, cut, passages }: Plan): string {
  const bar = source.bars[cut.from];
  const target = passages[0]?.notated;
  if (!bar || !target) throw new Error("the piece has no bars");
  const { fifths } = movedKey(source, bar.fifths, target);
  return `<attributes><divisions>${source.divisions}</divisions><key><fifths>${fifths}</fifths></key>${bar.time}<clef><sign>G</sign><line>2</line></clef>${transposeXml(target)}</attributes>`;
}

/** The key signature for another instrument, and how often it went round the circle of fifths. */
function movedKey(source: SourcePart, fifths: number, target: Target) {
  if (target === source.instrument) return { fifths, turns: 0 };
  const sounding = fifths + transpositionFifths(source.transposition);
  const own = transpositionFifths(transpositionOf(target));
  const moved = writtenKey(sounding, own).fifths;
  return { fifths: moved, turns: (moved - (sounding - own)) / 12 };
}

function printElement(plan: Plan, name: string, xml: string, at: Place): string {
  const { source, passages, declared, noteInstruments } = plan;
  const fifths = source.bars[at.bar]?.fifths ?? 0;
  if (name === "attributes") {
    const { notated } =
      passages.findLast(
        ({ entry, change }) => comparePlaces(change?.transposeAt ?? entry, at) <= 0,
      ) ?? first(plan);
    return xml
      .replace(/<fifths>[^<]*</, `<fifths>${movedKey(source, fifths, notated).fifths}<`)
      .replace(/<transpose>[^]*?<\/transpose>/, transposeXml(notated));
  }
  if (name !== "note" || !xml.includes("<pitch>")) return xml;
  const { notated } =
    passages.findLast(({ entry }) => comparePlaces(entry, at) <= 0) ?? first(plan);
  const index = declared.findIndex(({ target }) => target === notated);
  const named = noteInstruments
    ? xml.replace("<voice>", `<instrument id="${instrumentId(index)}"/><voice>`)
    : xml;
  if (notated === source.instrument) return named;
  return (
    named
      .replace(PITCH, (_, step: Step, alter: string | undefined, octave: string) =>
        pitchXml(
          movedPitch(
            source,
            { step, alter: Number(alter ?? 0), octave: Number(octave) },
            fifths,
            notated,
          ),
        ),
      )
      // Which accidentals are printed is another matter in another key; they are not read.
      .replace(/\s*<accidental\b[^]*?<\/accidental>/, "")
  );
}

const PITCH =
  /<pitch>\s*<step>([A-G])<\/step>\s*(?:<alter>(-?\d+)<\/alter>\s*)?<octave>(\d)<\/octave>\s*<\/pitch>/;

function first(plan: Plan): Passage {
  const [passage] = plan.passages;
  if (!passage) throw new Error("a plan has a passage");
  return passage;
}

function movedPitch(
  source: SourcePart,
  written: SpelledPitch,
  fifths: number,
  target: Target,
): SpelledPitch {
  const sounding = soundingPitch(written, source.transposition);
  let moved = writtenPitch(sounding, transpositionOf(target));
  moved = movePitch(moved, -movedKey(source, fifths, target).turns, 0);
  while (moved.alter > 2) moved = movePitch(moved, 1, 0);
  while (moved.alter < -2) moved = movePitch(moved, -1, 0);
  return moved;
}

function pitchXml({ step, alter, octave }: SpelledPitch): string {
  const altered = alter === 0 ? "" : `<alter>${alter}</alter>`;
  return `<pitch><step>${step}</step>${altered}<octave>${octave}</octave></pitch>`;
}
