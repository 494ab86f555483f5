import { mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import Fraction from "fraction.js";
import { stringify } from "yaml";
import {
  A,
  attributes,
  B_FLAT,
  BASS,
  metronome,
  note,
  rest,
  scoreXml,
  words,
  type PartXml,
} from "../score-xml.js";
import { container, zip } from "../zip.js";
import { BROKEN_FILES, writeBroken } from "./broken.js";
import {
  type Instrument,
  type PlannedBar,
  type PlannedMusic,
  type PlannedSeat,
  type PlannedTempo,
} from "./music.js";
import {
  PLAYERS,
  type PlannedGap,
  type PlannedMovement,
  type PlannedWork,
  type SeasonPlan,
} from "./plan.js";

/** Written against sounding: diatonic, chromatic, octaves (MusicXML 4.0, `<transpose>`). */
const TRANSPOSE: Readonly<Record<Instrument, readonly [number, number, number?]>> = {
  "clarinet-bflat": B_FLAT,
  "clarinet-a": A,
  "clarinet-eflat": [2, 3],
  "bass-clarinet-bflat": BASS,
};
const PITCHES = ["G4", "B4", "D5", "F5", "A4", "C5"];

/** Writes every file of a season, and `season.yaml` beside them. */
export function writeSeason(folder: string, plan: SeasonPlan): void {
  let lost = 0;
  const programmes = plan.programmes.map((programme) => ({
    ...{ name: programme.name, date: programme.date },
    works: programme.works.map((work) => {
      const below = `${programme.folder}/${work.folder}`;
      mkdirSync(join(folder, below), { recursive: true });
      const movements = work.movements.map((movement) => {
        const broken = movement.music ? undefined : BROKEN_FILES[lost++]!;
        const file = `${below}/${broken?.name ?? movement.file}`;
        if (broken) writeBroken(join(folder, file), broken);
        else writeFileSync(join(folder, file), fileOf(movement, work));
        return movementEntry(movement, file);
      });
      const title = work.title === "" ? {} : { title: work.title };
      return { ...title, movements, ...pauseEntry(work.pause) };
    }),
  }));
  PLAYERS.forEach(({ hands }, k) => {
    writeFileSync(join(folder, profileName(k)), stringify(numbersIn({ ...hands })));
  });
  const players = PLAYERS.map(({ name, part }, k) => ({ name, part, profile: profileName(k) }));
  writeFileSync(
    join(folder, "season.yaml"),
    stringify({ season: "Generated", players, programmes }),
  );
}

function profileName(player: number): string {
  return `hands-${player + 1}.yaml`;
}

/** Seconds are texts in the plan, so that they are exact. */
function numbersIn(value: object): object {
  return JSON.parse(
    JSON.stringify(value, (_, each: unknown) => (typeof each === "string" ? Number(each) : each)),
  ) as object;
}

function pauseEntry(gap: PlannedGap): object {
  if (gap === undefined) return {};
  return { pause: gap === "attacca" ? gap : gap.seconds === 120 ? "2 min" : `${gap.seconds} s` };
}

/** A movement of which there is nothing to say is its file alone. */
function movementEntry({ title, after, music }: PlannedMovement, file: string): object | string {
  const others = (music?.seats ?? []).filter(({ partName }) => partName === "Bass Clarinet");
  const entry = {
    ...(title !== "" && { title }),
    file,
    ...(music?.kind === "tacet" && { tacet: true }),
    ...(others.length > 0 && {
      part: Object.fromEntries(others.map((each) => [PLAYERS[each.player]!.name, each.partName])),
    }),
    ...pauseEntry(after),
  };
  return Object.keys(entry).length === 1 ? file : entry;
}

function fileOf(
  { file, printedTitle, music }: PlannedMovement,
  work: PlannedWork,
): string | Buffer {
  const header = [
    work.printedTitle === "" ? "" : `<work><work-title>${work.printedTitle}</work-title></work>`,
    printedTitle === "" ? "" : `<movement-title>${printedTitle}</movement-title>`,
  ].join("");
  const xml = scoreXml(partsOf(music!), header);
  if (!file.endsWith(".mxl")) return xml;
  return zip([container('full-path="score.xml"'), { name: "score.xml", data: xml }]);
}

/** The tempi stand in the top part, as in a printed score. */
function partsOf(music: PlannedMusic): readonly PartXml[] {
  const clarinets = music.seats.map((seat, k) => ({
    name: seat.partName,
    bars: barsOf(music, seat, music.kind === "part", music.goesOn && k === 0),
  }));
  if (music.kind === "part") return clarinets;
  const [top, ...low] = music.kind === "tacet" ? ["Violin I"] : ["Flute 1", "Oboe 1"];
  const strings = ["Violin II", "Viola", "Violoncello"];
  return [
    { name: top, bars: otherBars(music, 0) },
    ...low.map((name, k) => ({ name, bars: otherBars(music, k + 1) })),
    ...clarinets,
    ...strings.map((name, k) => ({ name, bars: otherBars(music, k + 2) })),
  ];
}

/** Another player, with every third bar silent. */
function otherBars(music: PlannedMusic, place: number): readonly string[] {
  const cuts = place === 0 ? music.tempi.map(({ at }) => at) : [];
  return music.bars
    .map((bar, k) =>
      piecesOfBar(bar, cuts)
        .map(({ from, to }) => {
          const signs = place === 0 ? tempoAt(music.tempi, from) : "";
          const quarters = to.sub(from).valueOf();
          const silent = (k + place) % 3 === 0;
          return signs + (silent ? rest(quarters) : note(PITCHES[place]!, quarters));
        })
        .join(""),
    )
    .map((content, k) => meterOf(music.bars, k) + content);
}

function barsOf(
  music: PlannedMusic,
  { player, stays }: PlannedSeat,
  hasTempi: boolean,
  goesOn: boolean,
): readonly PartXml["bars"][number][] {
  const tempi = hasTempi ? music.tempi : [];
  const cuts = [...tempi.map(({ at }) => at), ...stays.flatMap(({ from, to }) => [from, to])];
  const opens = stays[0]?.instrument ?? PLAYERS[player]!.instruments[0]!;
  return music.bars.map((bar, k) => {
    const isLast = k === music.bars.length - 1;
    const first = k === 0 ? attributes({ transpose: TRANSPOSE[opens] }) : "";
    const content = piecesOfBar(bar, cuts).map(({ from, to }) => {
      const playing = stays.find(
        (stay) => stay.from.compare(from) <= 0 && stay.to.compare(from) > 0,
      );
      const quarters = to.sub(from).valueOf();
      const sound = playing ? note(PITCHES[k % PITCHES.length]!, quarters) : rest(quarters);
      return tempoAt(tempi, from) + changeSigns(stays, from) + sound;
    });
    return {
      attributes: `number="${bar.label}"${bar.missing.equals(0) ? "" : ' implicit="yes"'}`,
      content: [
        meterOf(music.bars, k) + first,
        isLast && goesOn ? words("attacca") : "",
        ...content,
        isLast ? '<barline location="right"><bar-style>light-heavy</bar-style></barline>' : "",
      ].join(""),
    };
  });
}

/** Words where the rest before a change begins; the transposition where the new instrument enters. */
function changeSigns(stays: readonly PlannedSeat["stays"][number][], at: Fraction): string {
  return stays
    .map((stay, k) => {
      const before = stays[k - 1];
      if (!before || before.instrument === stay.instrument) return "";
      const said = stay.words !== "" && before.to.equals(at) ? words(stay.words) : "";
      return (
        said + (stay.from.equals(at) ? attributes({ transpose: TRANSPOSE[stay.instrument] }) : "")
      );
    })
    .join("");
}

function meterOf(bars: readonly PlannedBar[], k: number): string {
  const label = (bar: PlannedBar | undefined) => bar && `${bar.beats}/${bar.beatType}`;
  const meter = label(bars[k])!;
  return label(bars[k - 1]) === meter ? "" : attributes({ meter });
}

function piecesOfBar({ start, quarters }: PlannedBar, cuts: readonly Fraction[]) {
  const end = start.add(quarters);
  const inside = cuts.filter((cut) => cut.compare(start) > 0 && cut.compare(end) < 0);
  const places = [start, ...inside, end].sort((a, b) => a.compare(b));
  return places.slice(1).flatMap((to, k) => {
    const from = places[k]!;
    return from.equals(to) ? [] : [{ from, to }];
  });
}

function tempoAt(tempi: readonly PlannedTempo[], at: Fraction): string {
  const tempo = tempi.find((each) => each.at.equals(at));
  if (!tempo) return "";
  const { kind, unit, dots, perMinute } = tempo;
  if (kind === "playback") return `<sound tempo="${perMinute}"/>`;
  const number = kind === "loose" ? `ca. ${perMinute}` : String(perMinute);
  return metronome(unit, number, dots);
}
