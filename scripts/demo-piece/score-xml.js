/** The whole document: titles, list of parts, and the bars of each part. */
import { beamBar } from "./beams.js";
import * as barXml from "./bar-xml.js";
import { checkPart } from "./check.js";
import { readBars } from "./notation.js";
import { NoteWriter } from "./note-xml.js";
import { INSTRUMENTS } from "./pitch.js";
import {
  COMPOSER,
  LETTERS,
  meterAt,
  METERS,
  ORCHESTRA,
  RIGHTS,
  SUBTITLE,
  TEMPI,
  TITLE,
} from "./plan.js";
import { block, element } from "./xml.js";

const DOCTYPE =
  '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" "http://www.musicxml.org/dtds/partwise.dtd">';

/**
 * @param parts in score order; the first also carries tempi and rehearsal letters
 * @param layout bars that begin a page or a line, if the file says so
 * @param playersPart for a part on its own, where rests of several bars are drawn as one: its name
 */
export function scoreXml(parts, { layout = { pages: [], lines: [] }, playersPart } = {}) {
  const named = parts.map((part, k) => ({
    ...part,
    id: `P${k + 1}`,
    top: k === 0,
    instruments: withIds(part.instruments, `P${k + 1}`),
  }));
  const options = { layout, drawLongRests: playersPart !== undefined };
  const score = block('score-partwise version="4.0"', [
    element("work", [element("work-title", TITLE)]),
    element("identification", [
      element('creator type="composer"', COMPOSER),
      element("rights", RIGHTS),
    ]),
    ...credits(playersPart),
    block("part-list", named.map(scorePart)),
    ...named.map((part) => partXml(part, options)),
  ]);
  return `<?xml version="1.0" encoding="UTF-8"?>\n${DOCTYPE}\n${score}\n`;
}

function withIds(instruments, partId) {
  const entries = Object.entries(instruments);
  return Object.fromEntries(
    entries.map(([key, value], k) => [key, { ...value, id: `${partId}-I${k + 1}` }]),
  );
}

function credits(playersPart) {
  const credit = (type, text) =>
    element('credit page="1"', [element("credit-type", type), element("credit-words", text)]);
  return [
    credit("title", TITLE),
    credit("subtitle", SUBTITLE),
    credit("composer", COMPOSER),
    playersPart && credit("part name", playersPart),
    credit("rights", ORCHESTRA),
  ];
}

function scorePart({ id, name, short, instruments }) {
  return block(`score-part id="${id}"`, [
    element("part-name", name),
    element("part-abbreviation", short),
    ...Object.values(instruments).map((each) =>
      element(`score-instrument id="${each.id}"`, [
        element("instrument-name", each.name),
        element("instrument-sound", each.sound),
      ]),
    ),
  ]);
}

function partXml(part, { layout, drawLongRests }) {
  const bars = readBars(part.music);
  checkPart(part, bars);
  const rests = drawLongRests ? multipleRests(bars, part.staves, layout) : new Map();
  const writer = new NoteWriter();
  let staff;
  const measures = bars.map((events, bar) => {
    const printed = part.staves[bar];
    staff = printed ? { ...printed, before: staff?.plays, keyBar: bar } : staff;
    beamBar(events, meterAt(bar));
    writer.startBar();
    const context = {
      instrument: INSTRUMENTS[staff.plays],
      keyFifths: barXml.writtenKey(staff.keyBar, staff.plays),
      instrumentId: staff.onNotes && part.instruments[staff.plays].id,
    };
    return block(bar === 0 ? 'measure number="0" implicit="yes"' : `measure number="${bar}"`, [
      barXml.print(bar, layout, printed?.newName),
      barXml.barline(bar, "left"),
      barXml.attributes({
        bar,
        clef: part.clef,
        staff: printed && staff,
        multipleRest: rests.get(bar),
      }),
      ...(part.top ? barXml.sharedDirections(bar) : []),
      ...events.map((event) => {
        if (event.kind === "note") return writer.note(event, context);
        if (event.kind === "dynamic") return barXml.dynamic(event);
        return barXml.sign(event, part.instruments);
      }),
      barXml.barline(bar, "right"),
    ]);
  });
  return block(`part id="${part.id}"`, measures);
}

/**
 * Rests of several bars by their first bar. Nothing may be printed inside one, and a bar with a
 * tempo mark is left out of it: some programs lose what stands over a long rest.
 */
function multipleRests(bars, staves, { pages, lines }) {
  const empty = bars.map((events) => events.every(({ wholeBar, words }) => wholeBar || words));
  const breaks = (bar) =>
    [LETTERS, TEMPI, METERS, staves].some((table) => table[bar] !== undefined) ||
    pages.includes(bar) ||
    lines.includes(bar) ||
    bars[bar].length > 1;
  const rests = new Map();
  for (let bar = 0; bar < bars.length; bar++) {
    if (!empty[bar] || TEMPI[bar]) continue;
    let end = bar + 1;
    while (empty[end] && !breaks(end)) end++;
    if (end - bar > 1) rests.set(bar, end - bar);
    bar = end - 1;
  }
  return rests;
}
