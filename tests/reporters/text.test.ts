import { describe, expect, it } from "vitest";
import { analysePart } from "../../src/analyses/index.js";
import { USUAL_PROFILE } from "../../src/instruments/usual-profile.js";
import type { PartReport } from "../../src/model/report.js";
import { PLAIN, REPORTERS, type RenderOptions } from "../../src/reporters/index.js";
import { changeBars, linesOf } from "../support/run-muta.js";
import {
  attributes,
  B_FLAT,
  metronome,
  note,
  rest,
  scoreXml,
  timelineOf,
  type BarXml,
} from "../support/score-xml.js";

function partOf(bars: readonly BarXml[], name = "Clarinet 2 in B♭"): PartReport {
  const source = { file: "part.xml", title: "Suite", movement: "1. Aria" };
  return analysePart(timelineOf(scoreXml([{ name, bars }])), USUAL_PROFILE, source);
}

function page(parts: readonly PartReport[], options: Partial<RenderOptions> = {}): string {
  const all = { width: 80, style: PLAIN, entries: false, bom: false, ...options };
  return REPORTERS.text({ parts, errors: [] }, all);
}

const repeat = (direction: "forward" | "backward") =>
  `<barline><repeat direction="${direction}"/></barline>`;

/** Ends on the A clarinet; the repeat leads back to the B-flat one after a beat's rest. */
const REPEATED = (() => {
  const bars = changeBars(6);
  return [
    repeat("forward") + bars[0]!,
    ...bars.slice(1, -1),
    bars.at(-1)!.replace(note("E5", 4), note("E5", 3) + rest(1)) + repeat("backward"),
  ];
})();

describe("the page", () => {
  it("of a part with an impossible change", () => {
    expect(page([partOf(changeBars(1))])).toMatchInlineSnapshot(`
      "Clarinet 2 in B♭ · Suite · 1. Aria
      part.xml · bars 1–3 · about 6 s (6 s–6 s)
      Plays B-flat clarinet, A clarinet. 1 change: 1 impossible.

      CHANGES
      !!  1  end of bar 1 → bar 3  B♭ → A  IMPOSSIBLE
            rest 1 bar, 2.0 s (1.9–2.1); hands 3.5 s; at the fast end 1.6 s too short
            → play some bars on the other instrument, leave notes out, or let a
              colleague take them
            → ask for a clear cue at bar 3
            on the page: "muta in La" (bar 2); in the file: transposition (bar 3)

      KEYS
        bars                      printed         instead
        1     sounding 2♭ (B♭/g)  on B♭: 0 (C/a)  on A: 5♭ (D♭/b♭)
        3     sounding 3♯ (A/f♯)  on A: 0 (C/a)   on B♭: 5♯ (B/g♯)
        A signature stands for its major or minor key; +n counts accidentals before
        notes; · is the difficulty, 1 for a fluent scale, 5 for the limit (muta keys
        has more); ?: on words that may be a misprint.

      TEMPI
        bar 1: quarter = 120 [printed, 113–127]
        In brackets: where it comes from, and the range taken, in the beat you count.

      HANDS, in seconds
        B♭ → A: 3.5 s = put down 0.7 + move mouthpiece 1.5 + pick up 0.7 + settle 0.6

      ASSUMED OR ODD
        - hand times are usual figures, not yours: time your own changes and give them
          with --profile
        - with the full score muta also says what to listen for before an entry
      "
    `);
  });

  it("of a part with a misprint", () => {
    expect(page([partOf(changeBars(6, B_FLAT))])).toMatchInlineSnapshot(`
      "Clarinet 2 in B♭ · Suite · 1. Aria
      part.xml · bars 1–8 · about 16 s (15 s–17 s)
      Plays B-flat clarinet, A clarinet. 1 change: 1 ample; 1 may be misprinted.

      CHANGES
       ?  1  end of bar 1 → bar 8  B♭ → A  ample
            rest 6 bars, 12.0 s (11.3–12.8); hands 3.5 s; at the fast end leaves 7.8 s
              (4 bars) to look up
            misprint? "muta in La" (bar 2) means A clarinet, but the transposition at
              bar 8 is for B-flat clarinet
            → ask the librarian which is right before the first rehearsal
            on the page: "muta in La" (bar 2)

      KEYS
        bars                      printed         instead
        1     sounding 2♭ (B♭/g)  on B♭: 0 (C/a)  on A: 5♭ (D♭/b♭)
        8 ?   sounding 3♯ (A/f♯)  on A: 0 (C/a)   on B♭: 5♯ (B/g♯)
        A signature stands for its major or minor key; +n counts accidentals before
        notes; · is the difficulty, 1 for a fluent scale, 5 for the limit (muta keys
        has more); ?: on words that may be a misprint.

      TEMPI
        bar 1: quarter = 120 [printed, 113–127]
        In brackets: where it comes from, and the range taken, in the beat you count.

      HANDS, in seconds
        B♭ → A: 3.5 s = put down 0.7 + move mouthpiece 1.5 + pick up 0.7 + settle 0.6

      ASSUMED OR ODD
        - hand times are usual figures, not yours: time your own changes and give them
          with --profile
        - with the full score muta also says what to listen for before an entry
      "
    `);
  });

  it("of a part where a repeat makes a change", () => {
    expect(page([partOf(REPEATED)])).toMatchInlineSnapshot(`
      "Clarinet 2 in B♭ · Suite · 1. Aria
      part.xml · bars 1–8, 16 bars with repeats · about 32 s (30 s–34 s)
      Plays B-flat clarinet, A clarinet. 3 changes: 1 impossible, 2 ample.

      CHANGES
          1  end of bar 1 → bar 8                        B♭ → A  ample
            rest 6 bars, 12.0 s (11.3–12.8); hands 3.5 s; at the fast end leaves 7.8 s
              (4 bars) to look up
            on the page: "muta in La" (bar 2); in the file: transposition (bar 8)
      !!  2  bar 8, beat 4 → bar 1 (2nd time)            A → B♭  IMPOSSIBLE
            rest 1 beat, 0.5 s; hands 3.5 s; at the fast end 3.0 s too short
            → play some bars on the other instrument, leave notes out, or let a
              colleague take them
            → ask for a clear cue at bar 1 (2nd time)
            on the page: nowhere: going from bar 8 back to bar 1 makes this change
          3  end of bar 1 (2nd time) → bar 8 (2nd time)  B♭ → A  ample
            rest 6 bars, 12.0 s (11.3–12.8); hands 3.5 s; at the fast end leaves 7.8 s
              (4 bars) to look up
            on the page: "muta in La" (bar 2); in the file: transposition (bar 8)

      KEYS
        bars                      printed         instead
        1     sounding 2♭ (B♭/g)  on B♭: 0 (C/a)  on A: 5♭ (D♭/b♭)
        8     sounding 3♯ (A/f♯)  on A: 0 (C/a)   on B♭: 5♯ (B/g♯)
        A signature stands for its major or minor key; +n counts accidentals before
        notes; · is the difficulty, 1 for a fluent scale, 5 for the limit (muta keys
        has more); ?: on words that may be a misprint.

      TEMPI
        bar 1: quarter = 120 [printed, 113–127]
        In brackets: where it comes from, and the range taken, in the beat you count.

      HANDS, in seconds
        B♭ → A: 3.5 s = put down 0.7 + move mouthpiece 1.5 + pick up 0.7 + settle 0.6
        A → B♭: 3.5 s = put down 0.7 + move mouthpiece 1.5 + pick up 0.7 + settle 0.6

      ASSUMED OR ODD
        - hand times are usual figures, not yours: time your own changes and give them
          with --profile
        - with the full score muta also says what to listen for before an entry
      "
    `);
  });

  it("of a part without changes", () => {
    const bars = [
      attributes({ meter: "3/4", fifths: 1, transpose: B_FLAT }) + metronome("quarter", "60"),
      rest(3),
      note("D5", 3),
    ];
    expect(page([partOf(bars)], { entries: true })).toMatchInlineSnapshot(`
      "Clarinet 2 in B♭ · Suite · 1. Aria
      part.xml · bars 1–3 · about 9 s (8 s–10 s)
      Plays B-flat clarinet. No change of instrument.

      CHANGES
        none

      KEYS
        bars                     printed          instead
        3     sounding 1♭ (F/d)  on B♭: 1♯ (G/e)  on A: 4♭ (A♭/f)
        A signature stands for its major or minor key; +n counts accidentals before
        notes; · is the difficulty, 1 for a fluent scale, 5 for the limit (muta keys
        has more); ?: on words that may be a misprint.

      ENTRIES after a bar's rest or more
        bar 3  B♭  after 2 bars  6.0 s (5.7–6.4)  from the start

      TEMPI
        bar 1: quarter = 60 [printed, 56–64]
        In brackets: where it comes from, and the range taken, in the beat you count.
      "
    `);
  });

  it("of a part in which nothing is played", () => {
    const bars = [attributes({ meter: "4/4", transpose: B_FLAT }) + rest(4)];
    const text = page([partOf(bars)], { entries: true });
    expect(text).toContain("Plays nothing. No change of instrument.");
    expect(text).not.toMatch(/undefined|NaN|null/);
  });

  it("on a narrow stand", () => {
    expect(page([partOf(changeBars(2))], { width: 40 })).toMatchInlineSnapshot(`
      "Clarinet 2 in B♭ · Suite · 1. Aria
      part.xml · bars 1–4 · about 8 s (8 s–9
        s)
      Plays B-flat clarinet, A clarinet. 1
        change: 1 tight.

      CHANGES
       !  1  end of bar 1 → bar 4: B♭ → A,
            TIGHT
            rest 2 bars, 4.0 s (3.8–4.3);
              hands 3.5 s; at the fast end
              leaves 0.3 s (under ¼ bar) to
              look up
            eyes down: under ¼ bar to look up
              before the entry
            → ask for a clear cue at bar 4
            on the page: "muta in La" (bar 2);
              in the file: transposition (bar
              4)

      KEYS
        1  sounding 2♭ (B♭/g), on B♭: 0 (C/a);
            instead: on A: 5♭ (D♭/b♭)
        4  sounding 3♯ (A/f♯), on A: 0 (C/a);
            instead: on B♭: 5♯ (B/g♯)
        A signature stands for its major or
        minor key; +n counts accidentals
        before notes; · is the difficulty, 1
        for a fluent scale, 5 for the limit
        (muta keys has more); ?: on words that
        may be a misprint.

      TEMPI
        bar 1: quarter = 120 [printed,
        113–127]
        In brackets: where it comes from, and
        the range taken, in the beat you
        count.

      HANDS, in seconds
        B♭ → A: 3.5 s = put down 0.7 + move
            mouthpiece 1.5 + pick up 0.7 +
            settle 0.6

      ASSUMED OR ODD
        - hand times are usual figures, not
          yours: time your own changes and
          give them with --profile
        - with the full score muta also says
          what to listen for before an entry
      "
    `);
  });

  it("of several parts, a rule between them", () => {
    const [first, second] = [
      partOf(changeBars(6), "Clarinet 1"),
      partOf(changeBars(6), "Clarinet 2"),
    ];
    const text = page([first, second]);
    expect(text).toBe(`${page([first])}\n${"─".repeat(72)}\n\n${page([second])}`);
  });
});

describe("marks", () => {
  const STYLE = {
    heading: (text: string) => `<h>${text}</h>`,
    alarm: (text: string) => `<!>${text}</!>`,
    warning: (text: string) => `<?>${text}</?>`,
    faint: (text: string) => `<f>${text}</f>`,
  };

  it.each([
    ["impossible", 1, /^<!>!! {2}1 {2}.*IMPOSSIBLE<\/!>$/m],
    ["tight", 2, /^<\?> ! {2}1 {2}.*TIGHT<\/\?>$/m],
    ["workable", 3, /^ {4}1 {2}.*workable$/m],
    ["ample", 6, /^ {4}1 {2}.*ample$/m],
  ])("stand in the margin and in the words, not in colour alone: %s", (_, restBars, line) => {
    expect(page([partOf(changeBars(restBars))], { style: STYLE })).toMatch(line);
  });

  it("do not change the words", () => {
    const part = partOf(changeBars(1));
    const marked = page([part], { style: STYLE });
    expect(marked).toContain("<h>CHANGES</h>");
    expect(marked.replace(/<\/?[h!?f]>/g, "")).toBe(page([part]));
  });
});

describe("texts from a file", () => {
  /** Characters that XML allows and a terminal obeys: C1 controls, DEL, bidi overrides, line separators. */
  const TRICKS = "&#x9b;&#x7f;&#x202e;&#x2028;&#x85;&#x2066;";
  const trick = (text: string) => `${text}${TRICKS}${text}`;
  const STEERING = /[\p{Cc}\p{Zl}\p{Zp}\p{Bidi_Control}]/u;

  it("cannot steer a terminal, wherever they stand", () => {
    const bars = changeBars(2, B_FLAT).map((content, k) => ({
      attributes: `number="${trick(String(k + 1))}"`,
      content: content.replace("muta in La", `muta in La${TRICKS}`),
    }));
    const odd = `<attributes><divisions>${trick("x")}</divisions><time><beats>${trick("3")}</beats><beat-type>4</beat-type></time></attributes>`;
    const last = {
      attributes: `number="${trick("9")}"`,
      content: `${odd}${metronome(trick("quarter"), trick("60"))}<sound tempo="${trick("9")}"/><barline><ending type="start" number="${trick("x")}"/></barline>${note("C5", 4)}`,
    };
    const xml = scoreXml([{ name: trick("Clarinet in Bb"), bars: [...bars, last] }]);
    const source = {
      file: "\u001b[2J\u0007part.xml",
      title: "\u001b[31mSuite",
      movement: "a\rb\nc",
    };
    const part = analysePart(timelineOf(xml), USUAL_PROFILE, source);
    expect(part.notices.map(({ kind }) => kind)).toEqual(
      expect.arrayContaining(["odd-number", "meter-unreadable", "tempo-unreadable"]),
    );
    for (const width of [40, 100]) {
      const text = page([part], { entries: true, width });
      expect(linesOf(text).filter((line) => STEERING.test(line))).toEqual([]);
      expect(text).toContain("misprint?");
      expect(text).toMatch(/Clarinet\s+in\s+Bb/);
    }
  });

  it("keep their letters: accents, Hebrew, Chinese, emoji", () => {
    const part = { ...partOf(changeBars(2)), title: "Süite סוויטה 组曲 🎼", movement: "" };
    expect(page([part])).toContain("Süite סוויטה 组曲 🎼");
  });

  it("take their width on the terminal into account", () => {
    const part = { ...partOf(changeBars(2)), title: "组曲 ".repeat(20).trim(), movement: "" };
    const [first = "", second = ""] = linesOf(page([part], { width: 60 }));
    // Two columns a sign: 60 columns hold the name and eight pairs, with their spaces.
    expect(first).toBe(`Clarinet 2 in B♭ · ${"组曲 ".repeat(8).trim()}`);
    expect(second).toMatch(/^ {2}组曲/);
  });
});
