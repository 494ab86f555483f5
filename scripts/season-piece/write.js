/**
 * Writes "Three Tide Pools", a suite of three short movements in three files for the example season: two
 * clarinets, who change between the movements. Piece, composer and players are invented.
 *
 * | between          | clarinet 1 | clarinet 2 | rest in the notes                             | pause   |
 * | ---------------- | ---------- | ---------- | --------------------------------------------- | ------- |
 * | Ebb, Slack Water | A → B♭     | A → B♭     | 4 x 60/66 (the last bar, 4/4)                 | usual   |
 * | Slack Water, Flood | B♭ → A   | B♭ stays   | 1 x 60/92 + 3 bars of 6/8 at 104: 6 x 60/104  | attacca |
 */
import { mkdirSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";

const folder = fileURLToPath(new URL("../../fixtures/season/three-tide-pools/", import.meta.url));
const DIVISIONS = 2;
const TRANSPOSE = { "B♭": [-1, -2], A: [-2, -3] };

/** A note such as "C5:3" in eighths, or "r:8". */
function note(text) {
  const [pitch, eighths] = text.split(":");
  const duration = `<duration>${(Number(eighths) * DIVISIONS) / 2}</duration>`;
  if (pitch === "r") return `<note><rest/>${duration}</note>`;
  const [step, octave] = pitch;
  return `<note><pitch><step>${step}</step><octave>${octave}</octave></pitch>${duration}</note>`;
}

const words = (text) =>
  `<direction placement="above"><direction-type><words>${text}</words></direction-type></direction>`;

function tempo({ unit, dotted, perMinute, text }) {
  const mark = `<beat-unit>${unit}</beat-unit>${dotted ? "<beat-unit-dot/>" : ""}<per-minute>${perMinute}</per-minute>`;
  return `${words(text)}<direction><direction-type><metronome>${mark}</metronome></direction-type></direction>`;
}

function attributes({ meter, key }, instrument) {
  const [beats, beatType] = meter.split("/");
  const [diatonic, chromatic] = TRANSPOSE[instrument];
  return `<attributes><divisions>${DIVISIONS}</divisions><key><fifths>${key[instrument]}</fifths></key><time><beats>${beats}</beats><beat-type>${beatType}</beat-type></time><clef><sign>G</sign><line>2</line></clef><transpose><diatonic>${diatonic}</diatonic><chromatic>${chromatic}</chromatic></transpose></attributes>`;
}

/** Bars are parted by `|`; a text in quotes stands before the notes after it. */
function partXml(movement, { bars, instrument }, k) {
  const list = bars.split("|").map((each) => each.trim());
  const measures = list.map((bar, index) => {
    const head = index === 0 ? attributes(movement, instrument) : "";
    const mark = index === 0 && k === 0 ? tempo(movement.tempo) : "";
    const content = [...bar.matchAll(/"([^"]*)"|(\S+)/g)].map(([, said, played]) =>
      said === undefined ? note(played) : words(said),
    );
    const end =
      index === list.length - 1
        ? '<barline location="right"><bar-style>light-heavy</bar-style></barline>'
        : "";
    return `<measure number="${index + 1}">${head}${mark}${content.join("")}${end}</measure>`;
  });
  return `<part id="P${k + 1}">\n${measures.join("\n")}\n</part>`;
}

function scoreXml(movement) {
  const listed = movement.parts.map(
    ({ instrument }, k) =>
      `<score-part id="P${k + 1}"><part-name>Clarinet ${k + 1} in ${instrument}</part-name></score-part>`,
  );
  return `<?xml version="1.0" encoding="UTF-8"?>
<score-partwise version="4.0">
<work><work-title>Three Tide Pools</work-title></work>
<movement-title>${movement.title}</movement-title>
<identification><creator type="composer">Tove Marrindal</creator><rights>The piece and its composer are invented.</rights></identification>
<part-list>${listed.join("")}</part-list>
${movement.parts.map((part, k) => partXml(movement, part, k)).join("\n")}
</score-partwise>
`;
}

const MOVEMENTS = [
  {
    file: "1-ebb",
    title: "I. Ebb",
    meter: "4/4",
    key: { A: 1 },
    tempo: { unit: "quarter", perMinute: 66, text: "Largo" },
    parts: [
      {
        instrument: "A",
        bars: `G4:4 B4:4 | D5:6 C5:2 | B4:8 | r:8 | E5:4 D5:4 | C5:4 A4:4 | G4:8 | "muta in Si♭" r:8`,
      },
      {
        instrument: "A",
        bars: `r:8 | G4:8 | G4:4 D4:4 | E4:8 | G4:4 B4:4 | A4:4 G4:4 | D4:8 | "muta in Si♭" r:8`,
      },
    ],
  },
  {
    file: "2-slack-water",
    title: "II. Slack Water",
    meter: "3/4",
    key: { "B♭": 0 },
    tempo: { unit: "quarter", perMinute: 92, text: "Allegretto" },
    parts: [
      {
        instrument: "B♭",
        bars: `C5:2 D5:2 E5:2 | G5:4 E5:2 | D5:6 | r:6 | E5:2 F5:2 G5:2 | A5:4 G5:2 | E5:6 | "attacca" C5:4 "muta in La" r:2`,
      },
      {
        instrument: "B♭",
        bars: `E4:6 | E4:4 C5:2 | B4:6 | G4:6 | C5:6 | C5:4 B4:2 | C5:6 | "attacca" C5:6`,
      },
    ],
  },
  {
    file: "3-flood",
    title: "III. Flood",
    meter: "6/8",
    key: { "B♭": 3, A: -2 },
    tempo: { unit: "quarter", dotted: true, perMinute: 104, text: "Vivace" },
    parts: [
      {
        instrument: "A",
        bars: `r:6 | r:6 | r:6 | F5:3 D5:3 | C5:3 B4:3 | A4:6 | A4:6 | F4:6`,
      },
      {
        instrument: "B♭",
        bars: `A4:1 C5:1 E5:1 A5:3 | F5:3 D5:3 | E5:1 C5:1 A4:1 E5:3 | E4:6 | E5:3 C5:3 | B4:3 A4:3 | G4:6 | E4:6`,
      },
    ],
  },
];

mkdirSync(folder, { recursive: true });
for (const movement of MOVEMENTS) {
  writeFileSync(`${folder}${movement.file}.musicxml`, scoreXml(movement));
}
