import fc from "fast-check";
import type { InstrumentId } from "../../src/model/instrument.js";
import type { BarRange } from "../../src/planning/rewrite.js";

/** Bars of a B-flat clarinet part, valid in MusicXML 3.0, with what may stand in them in any choice. */
export interface FullBars {
  readonly bars: readonly string[];
  readonly range: BarRange;
  readonly instrument: InstrumentId;
}

/** Some of the pieces, in their order; often one alone, behind which what is put in has to go. */
function someOf(...pieces: readonly string[]): fc.Arbitrary<string> {
  const several = fc.subarray([...pieces]).map((chosen) => chosen.join(""));
  return fc.oneof(several, fc.constantFrom(...pieces));
}

// All sequences below: musicxml.xsd of MusicXML 3.0, the complex types of the same names.

const EDITORIAL = ["<footnote>a</footnote>", '<level reference="yes">b</level>'];

const pitch = fc
  .tuple(
    fc.constantFrom("A", "B", "C", "D", "E", "F", "G"),
    fc.constantFrom("", "<alter>1</alter>", "<alter>-1</alter>", "<alter>0</alter>"),
    fc.integer({ min: 3, max: 6 }),
  )
  .map(([step, alter, octave]) => `<step>${step}</step>${alter}<octave>${octave}</octave>`)
  .map((content) => `<pitch>${content}</pitch>`);

const afterDuration = someOf(
  ...EDITORIAL,
  "<voice>1</voice>",
  "<type>quarter</type>",
  "<dot/>",
  '<accidental editorial="yes">natural</accidental>',
  "<time-modification><actual-notes>3</actual-notes><normal-notes>2</normal-notes></time-modification>",
  '<stem default-y="-40">up</stem>',
  "<notehead>diamond</notehead>",
  "<notehead-text><display-text>x</display-text></notehead-text>",
  "<staff>1</staff>",
  '<beam number="1">begin</beam>',
  "<notations><ornaments><trill-mark/><accidental-mark>sharp</accidental-mark></ornaments></notations>",
  "<lyric><text>la</text></lyric>",
  "<play><mute>on</mute></play>",
);

const note = fc
  .tuple(
    fc.constantFrom(
      (head: string) => `<grace/>${head}`,
      (head: string) => `<cue/>${head}<duration>240</duration>`,
      (head: string) => `${head}<duration>240</duration>`,
      (head: string) => `${head}<duration>240</duration><tie type="start"/>`,
      (head: string) => `${head}<duration>240</duration><tie type="stop"/><tie type="start"/>`,
      (head: string) => `<chord/>${head}<duration>240</duration>`,
    ),
    pitch,
    afterDuration,
    fc.constantFrom("", ' default-y="-20.00"'),
  )
  .map(([frame, head, rest, height]) => `<note${height}>${frame(head)}${rest}</note>`);

const rest = someOf(
  ...EDITORIAL,
  "<voice>1</voice>",
  "<type>quarter</type>",
  "<staff>1</staff>",
).map((inside) => `<note><rest/><duration>240</duration>${inside}</note>`);

const key = fc
  .tuple(
    fc.constantFrom("", "<cancel>2</cancel>"),
    fc.integer({ min: -7, max: 7 }),
    someOf("<mode>major</mode>", '<key-octave number="1">5</key-octave>'),
    fc.constantFrom("", ' number="1"'),
  )
  .map(([cancel, fifths, after, number]) => {
    return `<key${number}>${cancel}<fifths>${fifths}</fifths>${after}</key>`;
  });

/** B-flat, with and without what may be left out. */
const transpose = fc
  .tuple(someOf("<diatonic>-1</diatonic>"), someOf("<octave-change>0</octave-change>"))
  .map(([diatonic, octaves]) => `${diatonic}<chromatic>-2</chromatic>${octaves}`)
  .map((content) => `<transpose>${content}</transpose>`);

function signatures(first: boolean): fc.Arbitrary<string> {
  return fc
    .tuple(
      someOf(...EDITORIAL),
      first ? fc.constant("<divisions>240</divisions>") : fc.constant(""),
      fc.option(key, { nil: "" }),
      someOf(
        "<time><beats>4</beats><beat-type>4</beat-type></time>",
        "<staves>1</staves>",
        "<part-symbol>none</part-symbol>",
        "<instruments>1</instruments>",
        "<clef><sign>G</sign><line>2</line></clef>",
        "<staff-details><staff-lines>5</staff-lines></staff-details>",
      ),
      first ? transpose : fc.option(transpose, { nil: "" }),
      someOf(
        "<directive>Allegro</directive>",
        '<measure-style><slash type="start"/></measure-style>',
      ),
    )
    .map((pieces) => `<attributes>${pieces.join("")}</attributes>`);
}

const direction = fc.constantFrom(
  "",
  "<direction><direction-type><words>muta in La</words></direction-type></direction>",
  "<direction><direction-type><words>to B-flat clarinet</words></direction-type><staff>1</staff></direction>",
  '<direction><direction-type><words>dolce</words></direction-type><offset>10</offset><voice>1</voice><sound tempo="90"/></direction>',
);

const print = fc.constantFrom(
  "",
  '<print new-system="yes"/>',
  "<print><measure-numbering>system</measure-numbering><part-name-display><display-text>Clarinet in B</display-text><accidental-text>flat</accidental-text></part-name-display></print>",
  "<print><part-name-display><display-text>Clarinet in A</display-text></part-name-display><part-abbreviation-display><display-text>Cl.</display-text></part-abbreviation-display></print>",
);

const barline = fc.constantFrom(
  "",
  '<barline location="left"><bar-style>heavy-light</bar-style><repeat direction="forward"/></barline>',
);

function bar(first: boolean): fc.Arbitrary<string> {
  return fc
    .tuple(
      print,
      barline,
      first ? signatures(true) : fc.option(signatures(false), { nil: "" }),
      direction,
      // A bar may not begin with the second note of a chord.
      fc.constantFrom("", "<forward><duration>240</duration></forward>"),
      rest,
      fc.array(fc.oneof(note, rest), { maxLength: 4 }),
      fc.option(signatures(false), { nil: "" }),
    )
    .map(([shown, line, signs, words, forward, pause, notes, later]) =>
      [shown, line, signs, words, forward, pause, ...notes.slice(0, 2), later, ...notes.slice(2)]
        .join("")
        .replace(
          /(<\/attributes>|<rest\/>(?:(?!<\/note>)[^])*<\/note>)(<note[^>]*>)<chord\/>/g,
          "$1$2",
        ),
    );
}

export const fullBars: fc.Arbitrary<FullBars> = fc.record({
  bars: fc.tuple(bar(true), bar(false), bar(false)),
  range: fc.constantFrom({ from: "1", to: "1" }, { from: "2", to: "2" }, { from: "1", to: "3" }),
  instrument: fc.constantFrom("clarinet-a", "bass-clarinet-a", "clarinet-eflat"),
});
