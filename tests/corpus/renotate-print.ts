import type { SpelledPitch, Step } from "../../src/model/score.js";
import { writtenKey } from "../../src/theory/key.js";
import {
  movePitch,
  soundingPitch,
  transpositionFifths,
  writtenPitch,
} from "../../src/theory/pitch.js";
import { instrumentId, transpositionOf, type PlannedSign, type Target } from "./renotate-signs.js";
import { comparePlaces, type Place, type SourcePart } from "./renotate-source.js";
import type { Passage, Plan } from "./renotate.js";

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
  const others = plan.inScore ? OTHER_PLAYERS.map((name, k) => otherPart(plan, name, k)) : [];
  return `<?xml version="1.0" encoding="UTF-8"?>
<score-partwise version="4.0">
<part-list><score-part id="P1"><part-name>${plan.partName}</part-name>${declared.map(({ xml }) => xml).join("")}</score-part>${others.map(({ listed }) => listed).join("")}</part-list>
<part id="P1">
${bars.join("\n")}
</part>
${others.map(({ part }) => part).join("\n")}
</score-partwise>
`;
}

const OTHER_PLAYERS = ["Violin", "Violoncello"];

/** A player who rests in every other bar and reads the key as it sounds. */
function otherPart({ source, cut }: Plan, name: string, k: number) {
  const id = `P${k + 2}`;
  const bars = source.bars.slice(cut.from, cut.to).map((bar, index) => {
    const before = index === 0 ? undefined : source.bars[cut.from + index - 1];
    const first = index === 0 ? `<divisions>${source.divisions}</divisions>` : "";
    const key =
      bar.fifths === before?.fifths
        ? ""
        : `<key><fifths>${concertFifths(source, bar.fifths)}</fifths></key>`;
    const time = bar.time === before?.time ? "" : bar.time;
    const duration = `<duration>${bar.length}</duration><voice>1</voice>`;
    const note =
      index % 2 === 0 ? "<pitch><step>D</step><octave>4</octave></pitch>" : '<rest measure="yes"/>';
    return `<measure number="${bar.label}"><attributes>${first}${key}${time}</attributes>${
      bar.length > 0 ? `<note>${note}${duration}</note>` : ""
    }</measure>`;
  });
  return {
    listed: `<score-part id="${id}"><part-name>${name}</part-name></score-part>`,
    part: `<part id="${id}">\n${bars.join("\n")}\n</part>`,
  };
}

interface Insertion {
  readonly at: Place;
  readonly xml: string;
}

function insertionsOf(plan: Plan): Insertion[] {
  const { source, passages, decoys } = plan;
  const changes = passages.flatMap(({ notated, change, wrongFifths }): Insertion[] => {
    if (!change) return [];
    const { transposeAt, signs } = change;
    const fifths = transposeAt && source.bars[transposeAt.bar]?.fifths;
    return [
      ...signs.filter(({ kind }) => kind === "part-name-display").map(printSign),
      ...(transposeAt && fifths !== undefined
        ? [
            {
              at: transposeAt,
              xml: `<attributes><key><fifths>${wrongFifths ?? movedKey(source, fifths, notated).fifths}</fifths></key>${transposeXml(notated)}</attributes>`,
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

function transposeXml(target: Target): string {
  const { diatonic, chromatic, octaveChange } = transpositionOf(target);
  const octaves = octaveChange === 0 ? "" : `<octave-change>${octaveChange}</octave-change>`;
  return `<transpose><diatonic>${diatonic}</diatonic><chromatic>${chromatic}</chromatic>${octaves}</transpose>`;
}

function carriedAttributes({ source, cut, passages }: Plan): string {
  const bar = source.bars[cut.from];
  const [passage] = passages;
  if (!bar || !passage) throw new Error("the piece has no bars");
  const target = passage.notated;
  const fifths = passage.wrongFifths ?? movedKey(source, bar.fifths, target).fifths;
  return `<attributes><divisions>${source.divisions}</divisions><key><fifths>${fifths}</fifths></key>${bar.time}<clef><sign>G</sign><line>2</line></clef>${transposeXml(target)}</attributes>`;
}

/** A written key of the source as it sounds, in the spelling with the fewest accidentals. */
export function concertFifths(source: SourcePart, fifths: number): number {
  return writtenKey(fifths + transpositionFifths(source.transposition), 0).fifths;
}

/** The key signature for another instrument, and how often it went round the circle of fifths. */
export function movedKey(source: SourcePart, fifths: number, target: Target) {
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
  const { notated, encoded = notated } =
    passages.findLast(({ entry }) => comparePlaces(entry, at) <= 0) ?? first(plan);
  const index = declared.findIndex(({ target }) => target === encoded);
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
